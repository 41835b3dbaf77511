package sitting

import (
	"encoding/json"
	"fmt"

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
	// What the book said of one knot when the swatch was added: it stands in when
	// the knot is no longer in the book.
	BookUsed   length.Length `json:"book_used_nm"`
	BookLength length.Length `json:"book_length_nm"`
}

// Making is what makes two cords alike for swatches: the construction, and the
// thickness to a quarter of a millimetre.
type Making struct {
	thickness    length.Length
	construction cord.Construction
}

// MakingOf is the making of a cord.
func MakingOf(thickness length.Length, c cord.Construction) Making {
	return Making{thickness.RoundHalfEven(length.Millimetre / 4), c}
}

// Swatch is a swatch beside the book.
type Swatch struct {
	store.Swatch
	Sample
	Number   int // in the member's list, from 1
	Making   Making
	Measured swatch.Swatch
}

// Counts tells whether the swatch can be compared with the book as it is now.
func (t Swatch) Counts() bool {
	_, err := t.Measured.Ratios()
	return err == nil
}

// Words are the cord as answers name it.
func (t Swatch) Words(p Prefs) string {
	return p.Style.Thickness(t.Thickness) + " " + t.Construction
}

// Compared sets a member's swatch beside the book.
func Compared(s store.Swatch, number int, book *knot.Book) (Swatch, error) {
	t := Swatch{Swatch: s, Number: number}
	if err := json.Unmarshal(s.Data, &t.Sample); err != nil {
		return t, fmt.Errorf("a swatch cannot be read: %w", err)
	}
	construction, err := cord.ParseConstruction(t.Construction)
	if err != nil {
		return t, fmt.Errorf("a swatch cannot be read: %w", err)
	}
	t.Making = MakingOf(t.Thickness, construction)
	used, height, family := t.BookUsed, t.BookLength, knot.Square
	if k, ok := book.Knot(s.Knot); ok {
		family = k.Kin()
		if used, height, err = BookOf(k, t.Thickness, construction); err != nil {
			return t, err
		}
	}
	t.Measured = swatch.Swatch{
		Knot: s.Knot, Family: family, Cord: fmt.Sprintf("%s %s", t.Making.thickness, construction), Count: t.Count, Ends: t.Ends,
		Before: t.Before, After: t.After, Used: t.Used, SampleLength: t.Sample.Length, BookUsed: used, BookLength: height,
	}
	return t, nil
}

// comparedAll sets swatches beside the book in their order.
func comparedAll(saved []store.Swatch, book *knot.Book) ([]Swatch, error) {
	list := make([]Swatch, len(saved))
	for i, s := range saved {
		var err error
		if list[i], err = Compared(s, i+1, book); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// HandsIn are the member's hands in one cord, from the swatches of it. One that the
// book has left behind, so that it compares with nothing, does not count.
func HandsIn(list []Swatch, making Making) (swatch.Hands, []Swatch, error) {
	var of []Swatch
	var swatches []swatch.Swatch
	for _, t := range list {
		if t.Making == making && t.Counts() {
			of = append(of, t)
			swatches = append(swatches, t.Measured)
		}
	}
	hands, err := swatch.HandsOf(swatches)
	return hands, of, err
}

// Hand is a member's hand in one cord of a sheet, from so many swatches.
type Hand struct {
	Cord  sheet.Cord
	Made  cord.Construction
	Hands swatch.Hands
	Count int
}

// Traced are hands as the trace takes them, by the names of their cords; nil for none.
func Traced(hands []Hand) map[string]trace.Hand {
	var by map[string]trace.Hand
	for _, h := range hands {
		if by == nil {
			by = map[string]trace.Hand{}
		}
		by[h.Cord.Name] = trace.Hand{Knots: h.Hands}
	}
	return by
}
