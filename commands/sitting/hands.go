package sitting

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/swatch"
	"larkfold/sizing/trace"
	"larkfold/store"
)

// Sample is what a swatch's record holds. Lengths are in nanometres.
type Sample struct {
	Count        int           `json:"count"`
	Ends         int           `json:"ends,omitempty"`
	Used         length.Length `json:"used_nm,omitempty"`
	Before       length.Length `json:"before_nm,omitempty"`
	After        length.Length `json:"after_nm,omitempty"`
	Length       length.Length `json:"length_nm,omitempty"`
	Thickness    length.Length `json:"thickness_nm"`
	Construction string        `json:"construction"`
	Rod          length.Length `json:"rod_nm,omitempty"` // that mounts were hung on
	// What the book said of one knot when the swatch was added: it stands in when
	// the knot is no longer in the book.
	BookUsed   length.Length `json:"book_used_nm"`
	BookLength length.Length `json:"book_length_nm"`
}

// Making is what makes two cords one for swatches: the name that the member gives it,
// the construction, and the thickness to a quarter of a millimetre.
type Making struct {
	name         string
	thickness    length.Length
	construction cord.Construction
}

// makingOf is the making of a cord; of its name, case and blanks do not matter.
func makingOf(name string, thickness length.Length, c cord.Construction) Making {
	return Making{strings.Join(words(name), " "), thickness.RoundHalfEven(length.Millimetre / 4), c}
}

// Usual is the squeeze that cord of this making starts from.
func (m Making) Usual() cord.Ratio { return m.construction.Squeeze() }

// words are the words of a cord's name, whether it is written with blanks or, as in a
// sheet, with hyphens.
func words(name string) []string {
	return strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return r == ' ' || r == '-' })
}

// Swatch is a swatch beside the book.
type Swatch struct {
	store.Swatch
	Sample
	Number   int // in the member's list, from 1
	Making   Making
	Measured swatch.Swatch

	knot *knot.Knot // nil when the book has it no more
	ways trace.Ways // that it was tied in
}

// Counts tells whether the swatch can be compared with the book as it is now.
func (t Swatch) Counts() bool {
	_, err := t.Measured.Ratios()
	return err == nil
}

// Words are the cord as answers name it.
func (t Swatch) Words(p Prefs) string {
	made := p.Style.Thickness(t.Thickness) + " " + t.Construction
	if t.Cord != "" {
		made += " " + t.Cord
	}
	return made
}

// gauge is the cord of the sample at a squeeze.
func (t Swatch) gauge(squeeze cord.Ratio) knot.Gauge {
	c := cord.Cord{Nominal: t.Thickness, Construction: t.Making.construction, Squeeze: squeeze}
	g := knot.Gauge{Diameter: c.Diameter(), Soft: t.Making.construction.Softness(), Ends: t.knot.Ends, Rod: t.Rod}
	if g.Rod == 0 {
		g.Rod = trace.UsualRod
	}
	return g
}

// bare is the sample as it was measured.
func (t Swatch) bare() swatch.Swatch {
	return swatch.Swatch{
		Family: knot.Square, Cord: fmt.Sprint(t.Making), Count: t.Count, Ends: t.Ends,
		Before: t.Before, After: t.After, Used: t.Used, SampleLength: t.Sample.Length, BookUsed: t.BookUsed, BookLength: t.BookLength,
	}
}

// Taken is the cord that went into the sample, as it was measured; zero where that
// makes no sense.
func (t Swatch) Taken() length.Length {
	used, err := t.bare().TakenUp()
	if err != nil {
		return 0
	}
	return used
}

// beside is the sample beside the book for cord that is squeezed so, zero for the usual.
func (t Swatch) beside(squeeze cord.Ratio) (swatch.Swatch, error) {
	if t.knot == nil {
		return t.bare(), nil
	}
	size, err := t.ways.Size(t.knot, t.gauge(squeeze))
	if err != nil {
		return t.bare(), err
	}
	return t.bare().Beside(t.knot, size)
}

// Squeeze is how thick the cord of the sample is when knotted, see
// [swatch.Swatch.Squeezed].
func (t Swatch) Squeeze() cord.Ratio {
	if t.knot == nil {
		return 0
	}
	return t.bare().Squeezed(t.knot, t.gauge)
}

// Compared sets a member's swatch beside the book, as they tie it and with the squeeze
// that they have set.
func Compared(s store.Swatch, measured Sample, number int, book *knot.Book, p Prefs) (Swatch, error) {
	t := Swatch{Swatch: s, Sample: measured, Number: number, ways: p.Ways}
	construction, err := cord.ParseConstruction(t.Construction)
	if err != nil {
		return t, fmt.Errorf("a swatch cannot be read: %w", err)
	}
	t.Making = makingOf(s.Cord, t.Thickness, construction)
	t.knot, _ = book.Knot(s.Knot)
	t.Measured, err = t.beside(p.Squeeze(construction))
	return t, err
}

// comparedAll sets swatches beside the book in their order. What is wrong with one is
// told by [Swatch.Counts].
func comparedAll(saved []store.Swatch, book *knot.Book, p Prefs) ([]Swatch, error) {
	list := make([]Swatch, len(saved))
	for i, s := range saved {
		var measured Sample
		if err := json.Unmarshal(s.Data, &measured); err != nil {
			return nil, fmt.Errorf("a swatch cannot be read: %w", err)
		}
		var err error
		var wrong *swatch.Error
		if list[i], err = Compared(s, measured, i+1, book, p); err != nil && !errors.As(err, &wrong) {
			return nil, err
		}
	}
	return list, nil
}

// HandsIn are the member's hands in one cord, from the swatches of it. One that the
// book has left behind, so that it compares with nothing, does not count.
func HandsIn(list []Swatch, making Making) (swatch.Hands, []Swatch, error) {
	of := slices.DeleteFunc(slices.Clone(list), func(t Swatch) bool { return t.Making != making || !t.Counts() })
	measured := make([]swatch.Swatch, len(of))
	for i, t := range of {
		measured[i] = t.Measured
	}
	hands, err := swatch.HandsOf(measured)
	return hands, of, err
}

// Squeeze is how thick the cord of these swatches is when knotted: what mounts side by
// side take of a rod tells it best, then sinnets, then hitches; zero when none tells.
func Squeeze(of []Swatch) cord.Ratio {
	for _, family := range []knot.Family{knot.Mounts, knot.Square, knot.Hitches} {
		sum, n := cord.Ratio(0), 0
		for _, t := range of {
			if s := t.Squeeze(); s > 0 && t.Measured.Family == family {
				sum, n = sum+s, n+1
			}
		}
		if n > 0 {
			return sum / cord.Ratio(n)
		}
	}
	return 0
}

// Hand is what is known of a member's work in one cord of a sheet.
type Hand struct {
	Cord    sheet.Cord
	Made    cord.Construction
	Hands   swatch.Hands // against the book at the squeeze; nil without swatches
	Seen    swatch.Hands // against the book as it is without swatches
	Count   int          // swatches
	Name    string       // of the member's cord that they are of; empty when it has none
	Squeeze cord.Ratio   // zero for the construction's own
	Others  []string     // names of other cords of the same make, whose swatches were left out
}

// handIn is a member's hand in a cord of a sheet, from their swatches beside the book.
func handIn(list []Swatch, c sheet.Cord, p Prefs) (Hand, error) {
	h := Hand{Cord: c, Made: c.Made(), Squeeze: c.Squeeze}
	making, others, err := chosen(list, c.Name, c.Thickness, h.Made)
	if err != nil {
		return h, err
	}
	seen, of, err := HandsIn(list, making)
	if err != nil {
		return h, err
	}
	if h.Squeeze == 0 {
		h.Squeeze = Squeeze(of)
	}
	if h.Squeeze == 0 {
		h.Squeeze = p.Squeeze(h.Made)
	}
	if len(of) == 0 {
		return h, nil
	}
	h.Seen, h.Count, h.Name, h.Others = seen, len(of), of[0].Cord, others
	var measured []swatch.Swatch
	for _, t := range of {
		m, err := t.beside(h.Squeeze)
		var wrong *swatch.Error
		if errors.As(err, &wrong) {
			continue
		}
		if err != nil {
			return h, err
		}
		if _, err := m.Ratios(); err == nil { // a sheet's own squeeze may be far from what was measured
			measured = append(measured, m)
		}
	}
	if len(measured) == 0 {
		return h, nil
	}
	h.Hands, err = swatch.HandsOf(measured)
	return h, err
}

// chosen is the member's cord that a cord of a sheet is: of their cords of that make
// the one whose name has the words of the sheet's; else the only one; else the one
// that takes most, so that no other runs short, and the others by name.
func chosen(list []Swatch, name string, thickness length.Length, c cord.Construction) (Making, []string, error) {
	bare := makingOf("", thickness, c)
	var makings []Making
	for _, t := range list {
		if m := t.Making; t.Counts() && m.thickness == bare.thickness && m.construction == c && !slices.Contains(makings, m) {
			makings = append(makings, m)
		}
	}
	named := slices.DeleteFunc(slices.Clone(makings), func(m Making) bool { return !hasWords(words(m.name), words(name)) })
	switch {
	case len(named) == 1:
		return named[0], nil, nil
	case len(makings) == 0:
		return bare, nil, nil
	case len(makings) == 1:
		return makings[0], nil, nil
	}
	most := map[Making]cord.Ratio{}
	for _, m := range makings {
		hands, _, err := HandsIn(list, m)
		if err != nil {
			return bare, nil, err
		}
		most[m] = hands[knot.Square].TakeUp.Mean
	}
	slices.SortStableFunc(makings, func(a, b Making) int { return cmp.Compare(most[b], most[a]) })
	var others []string
	for _, m := range makings[1:] {
		others = append(others, cmp.Or(m.name, "the one without a name"))
	}
	return makings[0], others, nil
}

// hasWords tells whether all words are among those of a name.
func hasWords(name, all []string) bool {
	return !slices.ContainsFunc(all, func(w string) bool { return !slices.Contains(name, w) })
}

// Knotted is a cord that a question describes, as thick when knotted as the member's
// swatches say, else their preferences; and their hands in it, nil without swatches.
func (s Sitting) Knotted(book *knot.Book, c cord.Cord) (cord.Cord, swatch.Hands, error) {
	hands, err := s.Hands(book, []sheet.Cord{{Name: c.Name, Thickness: c.Nominal, Construction: c.Construction.String(), Squeeze: c.Squeeze}})
	if err != nil || len(hands) == 0 {
		return c, nil, err
	}
	c.Squeeze = hands[0].Squeeze
	return c, hands[0].Hands, nil
}

// Traced are hands as the trace takes them, by the names of their cords; nil for none.
func Traced(hands []Hand) map[string]trace.Hand {
	var by map[string]trace.Hand
	for _, h := range hands {
		if by == nil {
			by = map[string]trace.Hand{}
		}
		by[h.Cord.Name] = trace.Hand{Knots: h.Hands, Squeeze: h.Squeeze}
	}
	return by
}
