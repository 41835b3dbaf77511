package stock

import (
	"errors"
	"fmt"

	"larkfold/sizing/length"
)

// The largest problem that is taken on.
const (
	MaxLength = 10 * length.Kilometre // of a piece, a stock, the kerf
	MaxPieces = 20_000
	MaxStock  = 5_000       // lines
	MaxPrice  = 100_000_000 // a million whole units of money
)

// check refuses what cannot be cut, with a sentence for the maker.
func (p Problem) check() error {
	if len(p.Pieces) == 0 {
		return errors.New("nothing to cut: name at least one piece")
	}
	if len(p.Stock) == 0 {
		return errors.New("nothing to cut from: name at least one offcut or spool")
	}
	if len(p.Stock) > MaxStock {
		return fmt.Errorf("%d lines of stock are too many: at most %d", len(p.Stock), MaxStock)
	}
	if p.Kerf < 0 || p.Kerf > MaxLength {
		return fmt.Errorf("kerf %s: want from 0 cm to %s", p.Kerf, MaxLength)
	}
	if p.Keep < 0 || p.Keep > MaxLength {
		return fmt.Errorf("shortest remainder to keep %s: want from 0 cm to %s", p.Keep, MaxLength)
	}
	var longest length.Length
	for i, s := range p.Stock {
		if err := s.check(); err != nil {
			return fmt.Errorf("%s: %w", s.name(i), err)
		}
		longest = max(longest, s.Length)
	}
	total := 0
	for i, piece := range p.Pieces {
		if err := checkLength(piece.Length); err != nil {
			return fmt.Errorf("%s: %w", piece.name(i), err)
		}
		if piece.Count < 1 {
			return fmt.Errorf("%s: count %d: want at least 1", piece.name(i), piece.Count)
		}
		if piece.Count > MaxPieces-total {
			return fmt.Errorf("%s: count %d: more than %d pieces in all are too many", piece.name(i), piece.Count, MaxPieces)
		}
		total += piece.Count
		if piece.Length > longest {
			return &TooLongError{Piece: i, Label: piece.Label, Length: piece.Length, Longest: longest}
		}
	}
	return nil
}

// TooLongError reports a piece that is longer than every stock.
type TooLongError struct {
	Piece           int // index into Problem.Pieces
	Label           string
	Length, Longest length.Length // of the piece, and of the longest stock
}

// Error names the piece and both lengths in metric units.
func (e *TooLongError) Error() string {
	return fmt.Sprintf("%s of %s is longer than the longest stock, %s", named("piece", e.Piece, e.Label), e.Length, e.Longest)
}

func (s Stock) check() error {
	if err := checkLength(s.Length); err != nil {
		return err
	}
	switch {
	case s.Count < 0:
		return fmt.Errorf("count %d: want 0 for no limit, or more", s.Count)
	case s.Price < 0 || s.Price > MaxPrice:
		return fmt.Errorf("price %s: want from 0 to %s", s.Price, Price(MaxPrice))
	case s.PerMetre < 0 || s.PerMetre > MaxPrice:
		return fmt.Errorf("price per metre %s: want from 0 to %s", s.PerMetre, Price(MaxPrice))
	case s.Price > 0 && s.PerMetre > 0:
		return errors.New("a price for the spool and a price per metre: want one of them")
	case s.Offcut && (s.Price > 0 || s.PerMetre > 0):
		return errors.New("an offcut with a price: offcuts cost nothing, give it as a spool")
	case s.Offcut && s.Count == 0:
		return errors.New("an offcut without a count: say how many there are")
	}
	return nil
}

func checkLength(l length.Length) error {
	if l <= 0 {
		return fmt.Errorf("length %s: want more than 0", l)
	}
	if l > MaxLength {
		return fmt.Errorf("length %s: want at most %s", l, MaxLength)
	}
	return nil
}

func (s Stock) name(i int) string {
	kind := "spool"
	if s.Offcut {
		kind = "offcut"
	}
	return named(kind, i, s.Label)
}

func (piece Piece) name(i int) string { return named("piece", i, piece.Label) }

func named(kind string, i int, label string) string {
	if label == "" {
		return fmt.Sprintf("%s %d", kind, i+1)
	}
	return fmt.Sprintf("%s %d (%q)", kind, i+1, label)
}
