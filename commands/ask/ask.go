// Package ask turns words into quantities: every kind of option, lists of pieces, a
// cord in the member's own words.
//
// Each kind is read in one place, with its bounds, and whatever is wrong comes back as
// a refusal with a line that can be pasted. What will hurt you: [Options] reads no more
// after the first fault, so look at Err before you use what it read.
package ask

import (
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing/cord"
	"larkfold/sizing/length"
	"larkfold/sizing/near"
	"larkfold/sizing/sheet"
	"larkfold/sizing/swatch"
)

// Options reads the options of a request. The first thing that is wrong is kept in
// Err, as a refusal with the corrected command; after that it reads no more.
type Options struct {
	Request reply.Request
	Unit    length.Length // of a bare number
	Style   length.Style  // that refusals are written in, and what was typed is repeated in
	Err     error
}

// Of reads bare numbers in inches for a member who likes imperial units, and
// in centimetres otherwise.
func Of(req reply.Request, p sitting.Prefs) *Options {
	unit := length.Centimetre
	if p.Style.System == length.Imperial {
		unit = length.Inch
	}
	return &Options{Request: req, Unit: unit, Style: p.Style}
}

// Text is an option as it was typed, without blanks around it.
func (a *Options) Text(option string) string { return strings.TrimSpace(a.Request.Options[option]) }

// With reads the same request with another value of one option.
func (a *Options) With(option, value string) *Options {
	b := *a
	b.Request.Options = maps.Clone(a.Request.Options)
	b.Request.Options[option] = value
	return &b
}

// Has tells whether an option was given.
func (a *Options) Has(option string) bool { return a.Text(option) != "" }

// Length reads a length within bounds; an option that is not there is otherwise.
func (a *Options) Length(option string, b length.Bounds, otherwise length.Length) length.Length {
	return a.Measure(option, b, a.Unit, otherwise)
}

// Thickness reads the thickness of a cord, a bare number in millimetres.
func (a *Options) Thickness(option string, otherwise length.Length) length.Length {
	return a.Measure(option, length.Thicknesses(), length.Millimetre, otherwise)
}

// LeftOut says what a length is when nobody gives it, and ThickLeftOut what a thickness is.
func LeftOut(l length.Length) string      { return l.String() + " if left out" }
func ThickLeftOut(l length.Length) string { return length.Style{}.Thickness(l) + " if left out" }

// UsualThick is how thick a cord is when nobody says, to who measures in millimetres
// (common practice, no source).
const UsualThick = 4 * length.Millimetre

// UsualThickness reads the thickness of a cord that is as most are when nobody says:
// UsualThick or 5/32 in (common practice, no source).
func (a *Options) UsualThickness(option string) length.Length {
	if a.Style.System == length.Imperial {
		return a.Thickness(option, 5*length.Inch/32)
	}
	return a.Thickness(option, UsualThick)
}

// Measure reads a length whose bare numbers are in a unit of its own.
func (a *Options) Measure(option string, b length.Bounds, unit, otherwise length.Length) length.Length {
	if a.Err != nil || !a.Has(option) {
		return otherwise
	}
	b.System = a.Style.System
	l, err := b.Parse(a.Text(option), unit)
	if err != nil {
		a.fail(option, err, b, unit)
	}
	return l
}

// Repeat writes a length that an option was read as: as it was typed, with its unit,
// and in the member's units. One that was not given, or is not all of what was typed, is written
// as a style writes it, [length.Style.Format] or [length.Style.Thickness].
func (a *Options) Repeat(option string, unit, l length.Length, write func(length.Style, length.Length) string) string {
	if r, err := length.Read(a.Text(option), unit); err == nil && r.Length == l {
		return r.Repeat(a.Style, write)
	}
	return write(a.Style, l)
}

// fail keeps a refusal for an option.
func (a *Options) fail(option string, err error, b length.Bounds, unit length.Length) {
	e := &reply.UserError{Read: option + ": " + a.Text(option), Cause: err}
	var input *length.InputError
	var bounds *length.BoundsError
	switch {
	case errors.As(err, &input):
		e.Wrong, e.Right = input.Wrong, input.Right
		if fromTo.MatchString(strings.ToLower(a.Text(option))) {
			e.Wrong, e.Right = "that is from one size to another, and one is needed", "name one of them"
		} else if n := listed(a.Text(option), unit); n > 1 {
			e.Wrong, e.Right = fmt.Sprintf("that is a list of %d, and one is needed", n), "name one of them"
		}
		e.Try = a.Request.Retype(map[string]string{option: a.instead(option, b, unit)}, "")
	case errors.As(err, &bounds):
		plain := *bounds
		plain.Meant = ""
		e.Wrong = plain.Error()
		if bounds.Meant != "" {
			e.Right = "did you mean " + bounds.Meant + "?"
			e.Try = a.Request.Retype(map[string]string{option: Compact(bounds.Meant)}, "")
		} else {
			e.Right = "something like " + b.Example()
			e.Try = a.Request.Retype(map[string]string{option: a.instead(option, b, unit)}, "")
		}
	default:
		e.Wrong = err.Error()
	}
	a.Err = e
}

// listed is how many lengths a text lists; none where one of its items is no length.
func listed(text string, unit length.Length) int {
	items := Items(text)
	for _, item := range items {
		if _, err := length.Read(item, unit); err != nil {
			return 0
		}
	}
	return len(items)
}

// fromTo is a size from here to there: "4-5 mm", "40 to 50cm", "4 or 5 mm".
var fromTo = regexp.MustCompile(`^\d[\d.,]*\s*[a-z"']*\s*(?:-|–|to|or)\s*\d[\d.,]*\s*[a-z"']*$`)

// instead is what to type for a length that cannot be read, or makes no sense: what it
// was likely meant to say, or else a sample.
func (a *Options) instead(option string, b length.Bounds, unit length.Length) string {
	if likely := Likely(a.Text(option), b, unit); likely != "" {
		return likely
	}
	sample, _, _ := strings.Cut(b.Example(), " or ")
	return Compact(sample)
}

// Compact writes a metric length without its blank, as people type options, and of one
// in both systems the metric.
func Compact(l string) string {
	l, _, _ = strings.Cut(l, " (")
	if strings.Count(l, " ") == 1 {
		return strings.Replace(l, " ", "", 1)
	}
	return l
}

// Count reads a whole number from least to most.
func (a *Options) Count(option string, least, most, otherwise int) int {
	if a.Err != nil || !a.Has(option) {
		return otherwise
	}
	n, err := strconv.Atoi(a.Text(option))
	if err != nil || n < least || n > most {
		wrong, closest := "that is too few", least
		switch {
		case err != nil:
			wrong, closest = "a whole number is needed, in figures", otherwise
			if said, ok := wholeIn(a.Text(option)); ok {
				closest = said
			}
		case n > most:
			wrong, closest = "that is too many", most
		}
		a.Err = &reply.UserError{
			Read:  option + ": " + a.Text(option),
			Wrong: wrong,
			Right: fmt.Sprintf("from %d to %d", least, most),
			Try:   a.Request.Retype(map[string]string{option: strconv.Itoa(min(max(closest, least), most))}, ""),
			Cause: err,
		}
	}
	return n
}

// What is understood as yes and as no.
var yes, no = []string{"yes", "y", "true", "on"}, []string{"no", "n", "false", "off"}

// Yes reads yes or no.
func (a *Options) Yes(option string) bool {
	if a.Err != nil || !a.Has(option) {
		return false
	}
	switch said := strings.ToLower(a.Text(option)); {
	case slices.Contains(yes, said):
		return true
	case slices.Contains(no, said):
		return false
	}
	meant := "yes"
	if strings.HasPrefix(strings.ToLower(a.Text(option)), "n") {
		meant = "no"
	}
	a.Err = &reply.UserError{Read: option + ": " + a.Text(option), Wrong: "it is neither yes nor no", Right: "yes or no", Try: a.Request.Retype(map[string]string{option: meant}, "")}
	return false
}

// SaveAs reads the name to save something under; empty for not saving it. Who says yes
// has not said which: instead is what they may mean.
func (a *Options) SaveAs(option, instead string) string {
	name := a.Text(option)
	switch said := strings.ToLower(name); {
	case slices.Contains(no, said):
		return ""
	case slices.Contains(yes, said):
		if a.Err == nil {
			a.Err = &reply.UserError{Read: option + ": " + name, Wrong: "that is no name to save it under", Right: "a name, or " + instead, Try: a.Request.Retype(map[string]string{option: instead}, "")}
		}
		return ""
	}
	return name
}

// otherChoices are other words for choices.
var otherChoices = map[string]string{
	"inch": "imperial", "inches": "imperial", "in": "imperial", "feet": "imperial", "foot": "imperial", "ft": "imperial", "yards": "imperial", "yard": "imperial", "yd": "imperial",
	"us": "imperial", "usa": "imperial", "american": "imperial", "english": "imperial", "british": "imperial",
	"cm": "metric", "mm": "metric", "m": "metric", "centimetres": "metric", "centimeters": "metric", "millimetres": "metric", "millimeters": "metric", "metres": "metric", "meters": "metric",
	"long": "full", "brief": "short",
}

// Choice reads one of a closed list. Where nothing is near to what was typed, none is
// suggested.
func (a *Options) Choice(option string, from []reply.Choice, otherwise string) string {
	if a.Err != nil || !a.Has(option) {
		return otherwise
	}
	typed := strings.ToLower(a.Text(option))
	names := make([]string, len(from))
	for i, c := range from {
		if typed == strings.ToLower(c.Value) || typed == strings.ToLower(c.Name) {
			return c.Value
		}
		names[i] = c.Value
	}
	e := &reply.UserError{Read: option + ": " + a.Text(option), Wrong: "it is not one of the choices", Right: strings.Join(names, ", ")}
	if meant := otherChoices[typed]; slices.Contains(names, meant) {
		e.Right = "did you mean " + meant + "? The choices are " + strings.Join(names, ", ")
		e.Try = a.Request.Retype(map[string]string{option: meant}, "")
	} else if meant := near.Word(typed, names); meant != "" {
		e.Right = "did you mean " + meant + "? The choices are " + strings.Join(names, ", ")
		e.Try = a.Request.Retype(map[string]string{option: meant}, "")
	} else if meant := wordOf(typed, names); meant != "" {
		e.Try = a.Request.Retype(map[string]string{option: meant}, "")
	}
	a.Err = e
	return otherwise
}

// wordOf is the one of the names that a word of a text is near to.
func wordOf(text string, names []string) string {
	for _, word := range strings.Fields(text) {
		if meant := near.Word(word, names); meant != "" {
			return meant
		}
	}
	return ""
}

// Construction reads a cord's construction.
func (a *Options) Construction(option string, otherwise cord.Construction) cord.Construction {
	if a.Err != nil || !a.Has(option) {
		return otherwise
	}
	c, err := cord.ParseConstruction(a.Text(option))
	var input *length.InputError
	if errors.As(err, &input) {
		a.Err = &reply.UserError{Read: option + ": " + a.Text(option), Wrong: input.Wrong, Right: input.Right, Try: a.Request.Retype(map[string]string{option: likelyMade(a.Text(option))}, ""), Cause: err}
	}
	return c
}

// CordName reads one of the member's names for a cord, as a sheet writes it: with
// hyphens for blanks.
func (a *Options) CordName(option, otherwise string) string {
	if a.Err != nil || !a.Has(option) {
		return otherwise
	}
	name := strings.Join(strings.Fields(a.Text(option)), "-")
	if err := sheet.CheckCordName(name); err != nil {
		a.Err = &reply.UserError{Read: option + ": " + a.Text(option), Wrong: err.Error(), Right: "a name of letters and digits, as in /swatch list", Try: a.Request.Retype(nil, option), Cause: err}
	}
	return name
}

// likelyMade is how a cord is made by a text that is near to saying it, or nothing.
func likelyMade(text string) string {
	var names []string
	for _, c := range cord.Constructions() {
		names = append(names, c.String())
	}
	return wordOf(text, names)
}

// Price reads an amount of money with at most two decimals.
func (a *Options) Price(option string) cord.Price {
	if a.Err != nil || !a.Has(option) {
		return 0
	}
	price, err := cord.ParsePrice(a.Text(option))
	var input *length.InputError
	if errors.As(err, &input) {
		a.Err = &reply.UserError{Read: option + ": " + a.Text(option), Wrong: input.Wrong, Right: input.Right, Try: a.Request.Retype(map[string]string{option: likelyPrice(a.Text(option))}, ""), Cause: err}
	}
	return price
}

// likelyPrice is the price in a text that is none, or nothing.
func likelyPrice(text string) string {
	for _, digits := range figures.FindAllString(text, -1) {
		if _, err := cord.ParsePrice(firstDecimal(digits)); err == nil {
			return firstDecimal(digits)
		}
	}
	return ""
}

// Spool reads what a spool holds as a sheet says it: a length, bare in metres, then a
// mass and a price if they are known.
func (a *Options) Spool(option string) cord.Spool {
	if a.Err != nil || !a.Has(option) {
		return cord.Spool{}
	}
	s, err := cord.ParseSpool(a.Text(option), length.Metre)
	if err == nil {
		err = Spools.Check(s.Length)
	}
	if err != nil {
		a.fail(option, err, Spools, length.Metre)
	}
	return s
}

// Dowel reads a thickness, a length, or a length x a thickness; what is not said is
// zero. A single number without a unit is a thickness in millimetres, whoever asks; with
// one it is a length where no dowel is as thick.
func (a *Options) Dowel(option string) *sheet.Rod {
	single, err := length.Read(a.Text(option), length.Millimetre)
	bare := err == nil && single.Bare == length.Millimetre
	if err == nil && (bare || single.Length <= RodThicknesses.Most) {
		rod := &sheet.Rod{Thickness: a.Measure(option, RodThicknesses, length.Millimetre, 0)}
		var e *reply.UserError
		if along, ok := a.along(option); ok && single.Length > RodThicknesses.Most && errors.As(a.Err, &e) {
			e.Right = "a number without a unit is how thick it is, in millimetres; a length needs its unit: " + along
			e.Try = a.Request.Retype(map[string]string{option: along}, "")
		}
		return rod
	}

	text := strings.NewReplacer("×", "x", "X", "x").Replace(a.Text(option))
	long, thick, both := strings.Cut(text, "x")
	if !a.Has(option) {
		return &sheet.Rod{}
	}
	part := *a
	part.Request.Options = map[string]string{option: long, "thickness": thick}
	rod := &sheet.Rod{Length: part.Length(option, dowelLengths, 0)}
	if both {
		rod.Thickness = part.Measure("thickness", RodThicknesses, length.Millimetre, 0)
	}
	var e *reply.UserError
	if errors.As(part.Err, &e) && a.Err == nil {
		a.Err = &reply.UserError{
			Read: option + ": " + a.Text(option), Wrong: e.Wrong, Right: "a thickness, a length, or a length x a thickness",
			Try: a.Request.Retype(map[string]string{option: "60cm x 20mm"}, ""), Cause: part.Err,
		}
	}
	return rod
}

// along is a number without a unit, which Dowel reads as a thickness, with the unit
// that it would have as a length: "60cm"; false for what is no such number.
func (a *Options) along(option string) (string, bool) {
	r, err := length.Read(a.Text(option), a.Unit)
	if err != nil || r.Bare == 0 || dowelLengths.Check(r.Length) != nil {
		return "", false
	}
	return Compact(r.Typed), true
}

// AlongDowel is the length that the number of a dowel without a unit may as well have
// been meant as, "60cm": from 25 cm on (common practice, no source). Else it is empty.
func (a *Options) AlongDowel(option string) string {
	const likely = 25 * length.Centimetre
	thick, err := length.Read(a.Text(option), length.Millimetre)
	if err != nil || thick.Bare != length.Millimetre {
		return ""
	}
	if r, err := length.Read(a.Text(option), a.Unit); err != nil || r.Length < likely {
		return ""
	}
	along, _ := a.along(option)
	return along
}

// DowelThickness reads how thick a dowel is, whose length may be said too.
func (a *Options) DowelThickness(option string, otherwise length.Length) length.Length {
	if a.Err != nil || !a.Has(option) {
		return otherwise
	}
	rod := a.Dowel(option)
	if a.Err == nil && rod.Thickness == 0 {
		a.Err = &reply.UserError{
			Read: option + ": " + a.Text(option), Wrong: "that is a length, and the thickness is needed", Right: "a thickness such as 20 mm or 3/4 in, or both, such as 60cm x 20mm",
			Try: a.Request.Retype(map[string]string{option: a.Text(option) + " x 20mm"}, ""),
		}
	}
	return rod.Thickness
}

// Squeeze reads how thick a cord is when knotted, as a share of its label.
func (a *Options) Squeeze(option string) cord.Ratio {
	if a.Err != nil {
		return 0
	}
	x, err := strconv.ParseFloat(strings.Replace(a.Text(option), ",", ".", 1), 64)
	squeeze := cord.Ratio(x)
	if err != nil || !(squeeze >= cord.LeastSqueeze && squeeze <= cord.MostSqueeze) {
		a.Err = &reply.UserError{
			Read: option + ": " + a.Text(option), Wrong: "no cord is pressed to that when knotted", Right: fmt.Sprintf("a share of its label from %g to %g", float64(cord.LeastSqueeze), float64(cord.MostSqueeze)),
			Try: a.Request.Retype(map[string]string{option: "0.75"}, ""), Cause: err,
		}
	}
	return squeeze
}

// Risk reads a chance of running short in percent.
func (a *Options) Risk(option string) cord.Ratio {
	if a.Err != nil || !a.Has(option) {
		return swatch.DefaultRisk
	}
	typed := strings.TrimSpace(strings.TrimSuffix(a.Text(option), "%"))
	x, err := strconv.ParseFloat(strings.Replace(typed, ",", ".", 1), 64)
	risk := cord.Ratio(x / 100)
	if err != nil || !(risk >= swatch.LeastRisk && risk <= swatch.MostRisk) {
		a.Err = &reply.UserError{
			Read: option + ": " + a.Text(option), Wrong: "it is not a chance that can be planned for",
			Right: fmt.Sprintf("a number from %g to %g, in percent", 100*float64(swatch.LeastRisk), 100*float64(swatch.MostRisk)),
			Try:   a.Request.Retype(map[string]string{option: "5"}, ""), Cause: err,
		}
	}
	return risk
}

// NoSpool refuses a price of a spool that nobody named.
func (a *Options) NoSpool() error {
	return &reply.UserError{Read: "price: " + a.Text("price"), Wrong: "it does not say what a spool for that price holds", Right: "name the spool too", Try: a.Request.Retype(map[string]string{"spool": "100m"}, "")}
}
