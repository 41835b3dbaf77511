package cutting

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/design"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/cord"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/resize"
	"larkfold/sizing/sheet"
	"larkfold/sizing/stock"
	"larkfold/sizing/trace"
	"larkfold/store"
)

// Supply is the cord that a member has for a design.
type Supply struct {
	words string                // what it is, as the answer names it
	Of    map[int][]stock.Stock // by the cords of the design; the others are bought
}

// theShelf is what have says to mean all that lies on the member's shelf.
const theShelf = "shelf"

// WantSupply reads what cord a member has: lengths and spools, their shelf, or one cord
// of it. The cords are those of the design as it will be made; nil when nobody says.
func WantSupply(sit sitting.Sitting, req reply.Request, cords []sheet.Cord) (*Supply, error) {
	typed := strings.TrimSpace(req.Options["have"])
	if typed == "" {
		return nil, nil
	}
	shelf, err := sit.Leftovers()
	if err != nil {
		return nil, err
	}
	if strings.EqualFold(typed, theShelf) {
		return fromShelf(req, shelf, cords)
	}
	if heaps, wrong := ask.Heaps(typed); wrong == nil {
		i, err := cordMeant(req, cords, func(sheet.Cord) bool { return true })
		if err != nil {
			return nil, err
		}
		s := &Supply{Of: map[int][]stock.Stock{}}
		words := make([]string, len(heaps))
		for n, h := range heaps {
			s.Of[i] = append(s.Of[i], stock.Stock{Length: h.Length, Count: h.Count, Offcut: true})
			words[n] = sit.Prefs.Style.Format(h.Length)
			if h.Count > 1 {
				words[n] = fmt.Sprintf("%d x %s", h.Count, words[n])
			}
		}
		s.words = noun.List(words)
		return s, nil
	}
	return fromShelfCord(sit, req, shelf, typed, cords)
}

// fromShelf is all that lies on a shelf for the cords of a design.
func fromShelf(req reply.Request, shelf store.Leftovers, cords []sheet.Cord) (*Supply, error) {
	s := &Supply{words: "your shelf", Of: map[int][]stock.Stock{}}
	for i, c := range cords {
		words := cordWords(c)
		lying, err := Serving(shelf, words, len(cords) == 1)
		if err != nil {
			return nil, err
		}
		if len(lying) == 0 {
			text, _, err := words.Record()
			if err != nil {
				return nil, err
			}
			mine := map[string]string{"have": "60m"}
			if len(cords) > 1 {
				mine["only"] = c.Name
			}
			return nil, &reply.UserError{Read: "have: " + theShelf, Wrong: "nothing of the cord " + reply.Quoted(c.Name) + " lies there: " + text, Right: "say how much of it you have", Try: req.Retype(mine, "")}
		}
		s.Of[i] = Stock(lying)
	}
	return s, nil
}

// fromShelfCord is one cord of a shelf, named as it is listed or by some of its words.
func fromShelfCord(sit sitting.Sitting, req reply.Request, shelf store.Leftovers, typed string, cords []sheet.Cord) (*Supply, error) {
	wanted := ask.CordIn(typed)
	var lying []OnShelf
	for _, e := range shelf.Entries {
		one, err := readShelf(e)
		if err != nil {
			return nil, err
		}
		named := one.words.Fits(wanted) && len(wanted.Others) == 0 || one.words.Overlaps(wanted) && (wanted.Thickness == 0 || one.words.Fits(wanted))
		if strings.EqualFold(cordName(e), typed) || named && one.words.Thickness > 0 {
			lying = append(lying, one)
		}
	}
	if len(lying) == 0 {
		return nil, &reply.UserError{Read: "have: " + typed, Wrong: "it is neither a length nor a cord on your shelf", Right: "such as 60m, 2 spools 50m, shelf, or a cord as /shelf list names it", Try: req.Retype(map[string]string{"have": haveLike(typed)}, "")}
	}
	has := lying[0].words
	i, err := cordMeant(req, cords, func(c sheet.Cord) bool { return has.Fits(cordWords(c)) })
	if err != nil {
		return nil, err
	}
	if made := cordWords(cords[i]); has.Thickness > 0 && !has.Fits(made) {
		text, _, err := made.Record()
		if err != nil {
			return nil, err
		}
		e := &reply.UserError{Read: "have: " + typed, Wrong: "that is another cord than the design is made of, " + text, Right: "make the design in it"}
		e.Try = req.Retype(map[string]string{"thickness": ask.Compact(sit.Prefs.Style.Thickness(has.Thickness)), "construction": has.Construction}, "")
		return nil, e
	}
	return &Supply{words: cordName(lying[0].Leftover) + " on your shelf", Of: map[int][]stock.Stock{i: Stock(lying)}}, nil
}

// haveLike is a length that may have been meant.
func haveLike(typed string) string {
	if digits := strings.TrimSpace(typed); digits != "" && strings.Trim(digits, "0123456789.") == "" {
		return digits + "m"
	}
	return "60m"
}

// cordMeant is the cord of a design that a request names, or the only one that may be.
func cordMeant(req reply.Request, cords []sheet.Cord, may func(sheet.Cord) bool) (int, error) {
	if name := strings.TrimSpace(req.Options["only"]); name != "" {
		if i := slices.IndexFunc(cords, func(c sheet.Cord) bool { return strings.EqualFold(c.Name, name) }); i >= 0 {
			return i, nil
		}
	}
	var those []int
	var names []string
	for i, c := range cords {
		names = append(names, c.Name)
		if may(c) {
			those = append(those, i)
		}
	}
	if len(those) == 1 || len(cords) == 1 {
		return append(those, 0)[0], nil
	}
	return 0, &reply.UserError{Read: "have: " + req.Options["have"], Wrong: "the design is made of several cords: " + noun.List(names), Right: "say which of them you have; the others are bought", Try: req.Retype(map[string]string{"only": names[0]}, "")}
}

// cordWords are the words of a sheet's cord.
func cordWords(c sheet.Cord) ask.CordWords {
	return ask.CordOf(cord.Cord{Name: c.Name, Nominal: c.Thickness, Construction: c.Made()})
}

// need is how much of the cords that the member has a list takes.
func (s *Supply) need(list cutlist.List) length.Length {
	var all length.Length
	for _, t := range list.Totals {
		if _, ok := s.Of[t.Cord]; ok {
			all += t.Length
		}
	}
	return all
}

// needs writes how much of the cords that the member has a list takes.
func (s *Supply) needs(list cutlist.List, style length.Style) string {
	var own []cutlist.Total
	for _, t := range list.Totals {
		if _, ok := s.Of[t.Cord]; ok {
			own = append(own, t)
		}
	}
	return list.Sum(style, own...).Total()
}

// has is how much cord there is.
func (s *Supply) has() length.Length {
	var all length.Length
	for _, of := range s.Of {
		for _, one := range of {
			all += one.Length * length.Length(one.Count)
		}
	}
	return all
}

// reaches tells whether a list can be cut from what there is, cord by cord.
func (s *Supply) reaches(ctx context.Context, list cutlist.List) (bool, error) {
	for i, of := range s.Of {
		problem := stock.Problem{Stock: of}
		total, there, longest := length.Length(0), length.Length(0), length.Length(0)
		for _, c := range list.Cuts {
			if c.Cord == i && c.Length > 0 {
				problem.Pieces = append(problem.Pieces, stock.Piece{Length: c.Length, Count: c.Count, Label: c.Label})
				total += c.Length * length.Length(c.Count)
				longest = max(longest, c.Length)
			}
		}
		fits := false
		for _, one := range of {
			there += one.Length * length.Length(one.Count)
			fits = fits || one.Length >= longest
		}
		if total > there || !fits {
			return false, nil
		}
		if len(problem.Pieces) == 0 {
			continue
		}
		if fits, err := stock.Fits(ctx, problem); err != nil || !fits {
			return false, err
		}
	}
	return true, nil
}

// Fill makes a design as large as a supply lets it.
func (s *Supply) Fill(ctx context.Context, req reply.Request, p sitting.Prefs, was sheet.Sheet, m sizing.Maker, c resize.Change) (resize.Resized, []reply.Fact, error) {
	const sizesTried = 20
	knots := was.Weight()
	if err := reply.Turn(ctx, reply.Work{Amount: float64(sizesTried * knots), Bytes: max(knots*design.BytesOfAKnot, bytesOfACutting)}); err != nil {
		return resize.Resized{}, nil, err
	}
	after := m
	after.Hands = c.Hands
	most, err := resize.Largest(ctx, was, trace.Maker{Book: m.Book, Hands: m.Hands, Ways: m.Ways, Style: p.Style}, c, func(r trace.Result) (bool, error) {
		list, err := sizing.Cut(r, after)
		if err != nil {
			return false, err
		}
		return s.reaches(ctx, list)
	})
	var little *resize.TooLittleError
	if errors.As(err, &little) {
		list, err := sizing.Cut(little.Smallest, after)
		if err != nil {
			return resize.Resized{}, nil, err
		}
		least := s.need(list)
		return resize.Resized{}, nil, &reply.UserError{
			Read: "have: " + req.Options["have"], Wrong: "that does not make the smallest piece that keeps the pattern", Right: "the smallest takes " + s.needs(list, p.Style) + " in " + noun.Count(s.pieces(list), "piece"),
			Try: req.Retype(map[string]string{"have": roundLength(least, 1, p)}, ""), Cause: little,
		}
	}
	if err != nil {
		return resize.Resized{}, nil, err
	}
	list, err := sizing.Cut(most.After, after)
	if err != nil {
		return resize.Resized{}, nil, err
	}
	takes := fmt.Sprintf("%s; this takes %s", s.words, s.needs(list, p.Style))
	if all := p.Style.Format(s.has()); all != s.words {
		takes += " of " + all
	}
	facts := []reply.Fact{{Label: "you have", Value: takes}}
	if most.Next == nil && most.Why == "" {
		return most.Resized, facts, nil
	}
	if most.Next == nil {
		return most.Resized, append(facts, reply.Fact{Label: "no larger", Value: "because " + most.Why}), nil
	}
	if list, err = sizing.Cut(*most.Next, after); err != nil {
		return resize.Resized{}, nil, err
	}
	next := fmt.Sprintf("would be %s wide and %s long and take %s", p.Style.Format(resize.Width(*most.Next).Tidy()), p.Style.Format(resize.Drop(*most.Next).Tidy()), s.needs(list, p.Style))
	if s.need(list) <= s.has() {
		next += ", for which I found no way to cut your pieces"
	}
	return most.Resized, append(facts, reply.Fact{Label: "one repeat more", Value: next}), nil
}

// pieces counts what a list cuts from the cords that there are.
func (s *Supply) pieces(list cutlist.List) int {
	n := 0
	for _, c := range list.Cuts {
		if _, ok := s.Of[c.Cord]; ok {
			n += c.Count
		}
	}
	return n
}
