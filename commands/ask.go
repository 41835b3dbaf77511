package commands

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"strconv"
	"strings"
	"unicode"

	"larkfold/commands/reply"
	"larkfold/sizing/cord"
	"larkfold/sizing/length"
)

// ask reads the options of a request. The first thing that is wrong is kept in
// err, as a refusal with the corrected command; after that it reads no more.
type ask struct {
	req  reply.Request
	unit length.Length // of a bare number
	err  error
}

// newAsk reads bare numbers in inches for a member who likes imperial units, and
// in centimetres otherwise.
func newAsk(req reply.Request, p Prefs) *ask {
	unit := length.Centimetre
	if p.Style.System == length.Imperial {
		unit = length.Inch
	}
	return &ask{req: req, unit: unit}
}

// text is an option as it was typed, without blanks around it.
func (a *ask) text(option string) string { return strings.TrimSpace(a.req.Options[option]) }

// with reads the same request with another value of one option.
func (a *ask) with(option, value string) *ask {
	b := *a
	b.req.Options = maps.Clone(a.req.Options)
	b.req.Options[option] = value
	return &b
}

func (a *ask) has(option string) bool { return a.text(option) != "" }

// length reads a length within bounds; an option that is not there is otherwise.
func (a *ask) length(option string, b length.Bounds, otherwise length.Length) length.Length {
	return a.measure(option, b, a.unit, otherwise)
}

// thickness reads the thickness of a cord, a bare number in millimetres.
func (a *ask) thickness(option string, otherwise length.Length) length.Length {
	return a.measure(option, length.Thicknesses(), length.Millimetre, otherwise)
}

func (a *ask) measure(option string, b length.Bounds, unit, otherwise length.Length) length.Length {
	if a.err != nil || !a.has(option) {
		return otherwise
	}
	l, err := b.Parse(a.text(option), unit)
	if err != nil {
		a.fail(option, err, b)
	}
	return l
}

// fail keeps a refusal for an option.
func (a *ask) fail(option string, err error, b length.Bounds) {
	e := &reply.UserError{Read: option + ": " + a.text(option), Cause: err}
	var input *length.InputError
	var bounds *length.BoundsError
	switch {
	case errors.As(err, &input):
		e.Wrong, e.Right = input.Wrong, input.Right
		if sample, _, _ := strings.Cut(b.Sample, " or "); sample != "" {
			e.Try = a.req.Retype(map[string]string{option: compact(sample)}, "")
		}
	case errors.As(err, &bounds):
		plain := *bounds
		plain.Meant = ""
		e.Wrong = plain.Error()
		if bounds.Meant != "" {
			e.Right = "did you mean " + bounds.Meant + "?"
			e.Try = a.req.Retype(map[string]string{option: compact(bounds.Meant)}, "")
		} else {
			sample, _, _ := strings.Cut(b.Sample, " or ")
			e.Right = "something like " + b.Sample
			e.Try = a.req.Retype(map[string]string{option: compact(sample)}, "")
		}
	default:
		e.Wrong = err.Error()
	}
	a.err = e
}

// compact writes a metric length without its blank, as people type options.
func compact(l string) string {
	if strings.Count(l, " ") == 1 {
		return strings.Replace(l, " ", "", 1)
	}
	return l
}

// count reads a whole number from least to most.
func (a *ask) count(option string, least, most, otherwise int) int {
	if a.err != nil || !a.has(option) {
		return otherwise
	}
	n, err := strconv.Atoi(a.text(option))
	if err != nil || n < least || n > most {
		wrong, near := "that is too few", max(otherwise, least)
		switch {
		case err != nil:
			wrong, near = "a whole number is needed, in figures", wholeNear(a.text(option), otherwise)
		case n > most && otherwise < least:
			wrong, near = "that is too many", most
		case n > most:
			wrong, near = "that is too many", otherwise
		}
		a.err = &reply.UserError{
			Read:  option + ": " + a.text(option),
			Wrong: wrong,
			Right: fmt.Sprintf("from %d to %d", least, most),
			Try:   a.req.Retype(map[string]string{option: strconv.Itoa(min(max(near, least), most))}, ""),
			Cause: err,
		}
	}
	return n
}

// wholeNear is the whole number at or above the one that was typed.
func wholeNear(typed string, otherwise int) int {
	x, err := strconv.ParseFloat(strings.ReplaceAll(typed, ",", "."), 64)
	const most = 1e6
	if err != nil || !(x > 0) {
		return otherwise
	}
	return int(math.Ceil(min(x, most)))
}

// yes reads yes or no.
func (a *ask) yes(option string) bool {
	if a.err != nil || !a.has(option) {
		return false
	}
	switch strings.ToLower(a.text(option)) {
	case "yes", "y", "true", "on":
		return true
	case "no", "n", "false", "off":
		return false
	}
	a.err = &reply.UserError{Read: option + ": " + a.text(option), Wrong: "it is neither yes nor no", Right: "yes or no", Try: a.req.Retype(map[string]string{option: "yes"}, "")}
	return false
}

// choice reads one of a closed list.
func (a *ask) choice(option string, from []reply.Choice, otherwise string) string {
	if a.err != nil || !a.has(option) {
		return otherwise
	}
	typed := strings.ToLower(a.text(option))
	names := make([]string, len(from))
	for i, c := range from {
		if typed == strings.ToLower(c.Value) || typed == strings.ToLower(c.Name) {
			return c.Value
		}
		names[i] = c.Value
	}
	e := &reply.UserError{Read: option + ": " + a.text(option), Wrong: "it is not one of the choices", Right: strings.Join(names, ", "), Try: a.req.Retype(map[string]string{option: names[0]}, "")}
	if near := nearest(typed, names); near != "" {
		e.Right = "did you mean " + near + "? The choices are " + strings.Join(names, ", ")
		e.Try = a.req.Retype(map[string]string{option: near}, "")
	}
	a.err = e
	return otherwise
}

// construction reads a cord's construction.
func (a *ask) construction(option string, otherwise cord.Construction) cord.Construction {
	if a.err != nil || !a.has(option) {
		return otherwise
	}
	c, err := cord.ParseConstruction(a.text(option))
	if err != nil {
		a.err = &reply.UserError{Read: option + ": " + a.text(option), Wrong: "it is no construction I know", Right: "single-strand, plied or braided", Try: a.req.Retype(map[string]string{option: "single-strand"}, ""), Cause: err}
	}
	return c
}

// bounds of what members ask about (common practice, no source).
func boundsOf(noun string, least, most length.Length, sample string) length.Bounds {
	return length.Bounds{Noun: noun, Least: least, Most: most, Usual: length.Unit{Symbol: "cm", Length: length.Centimetre}, Sample: sample}
}

// price reads an amount of money with at most two decimals.
func (a *ask) price(option string) cord.Price {
	if a.err != nil || !a.has(option) {
		return 0
	}
	typed := strings.TrimFunc(a.text(option), func(r rune) bool { return unicode.IsSpace(r) || unicode.Is(unicode.Sc, r) })
	whole, part, _ := strings.Cut(strings.ReplaceAll(typed, ",", "."), ".")
	units, err := strconv.ParseInt(whole, 10, 32)
	cents, partErr := strconv.ParseInt((part + "00")[:max(2, len(part))], 10, 32)
	if err != nil || partErr != nil || units < 0 || len(part) > 2 {
		a.err = &reply.UserError{Read: option + ": " + a.text(option), Wrong: "it is no price", Right: "a number with two decimals, without a currency", Try: a.req.Retype(map[string]string{option: "24.00"}, "")}
		return 0
	}
	return cord.Price(units*100 + cents)
}
