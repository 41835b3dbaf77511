package sitting

import (
	"encoding/json"
	"fmt"

	"larkfold/commands/reply"
	"larkfold/sizing"
	"larkfold/sizing/cord"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/length"
	"larkfold/sizing/trace"
	"larkfold/sizing/vocabulary"
	"larkfold/store"
)

// Cut writes a length to be cut, never rounded down.
func (p Prefs) Cut(l length.Length) string { return p.Style.Cut(l) }

// Cuts writes what so many cuts of one length come to, each as Cut writes it.
func (p Prefs) Cuts(l length.Length, count int) string {
	all := length.Cuts{Style: p.Style}
	all.Add(l, count)
	return all.Total()
}

// Prefs is how a member likes answers. The zero value is the default.
type Prefs struct {
	Style  length.Style     `json:"style"`
	Step   length.Length    `json:"step_nm,omitempty"` // cuts are rounded up to it
	Margin cutlist.Fraction `json:"margin,omitempty"`
	Short  bool             `json:"short,omitempty"` // leave out assumptions and notes
	Ways   trace.Ways       `json:"ways,omitzero"`   // how the member ties, hangs and plaits

	// Squeezes are how thick the member's cord is when knotted, as shares of its label,
	// by the names of constructions; one that is absent is as usual.
	Squeezes map[string]cord.Ratio `json:"squeezes,omitempty"`

	Revision uint64
}

// Squeeze is the member's own for a construction; zero where they have set none.
func (p Prefs) Squeeze(c cord.Construction) cord.Ratio { return p.Squeezes[c.String()] }

// Knotted is a cord with the member's squeeze, unless it has one of its own.
func (p Prefs) Knotted(c cord.Cord) cord.Cord {
	if c.Squeeze == 0 {
		c.Squeeze = p.Squeeze(c.Construction)
	}
	return c
}

// prefsOf reads what the member prefers. One who has never said so and types feet
// or inches is answered in them.
func prefsOf(saved store.Preferences, req reply.Request) (Prefs, error) {
	var p Prefs
	if len(saved.Data) > 0 {
		if err := json.Unmarshal(saved.Data, &p); err != nil {
			return Prefs{}, fmt.Errorf("the preferences of a member cannot be read: %w", err)
		}
	}
	p.Revision = saved.Revision
	if p.Revision == 0 && typedImperial(req) {
		p.Style.System = length.Imperial
	}
	return p, nil
}

func typedImperial(req reply.Request) bool {
	for _, typed := range []map[string]string{req.Options, req.Fields} {
		for name, value := range typed {
			if name != "name" && name != "sheet" && length.WrittenImperial(value) > 0 {
				return true
			}
		}
	}
	return false
}

// writtenInInches tells whether the sheet that a request is about, typed or saved, is.
func writtenInInches(req reply.Request, saved string) bool {
	for _, text := range []string{req.Fields["sheet"], req.Options["sheet"], req.Text, saved} {
		if text != "" {
			return vocabulary.WrittenInInches(text)
		}
	}
	return false
}

// Imperial tells whether the member is answered in feet and inches alone.
func (p Prefs) Imperial() bool { return p.Style.System == length.Imperial }

// UsualRod is a dowel that shops have: 20 mm, or 3/4 in (common practice, no source).
func (p Prefs) UsualRod() length.Length {
	if p.Imperial() {
		return 3 * length.Inch / 4
	}
	return trace.UsualRod
}

// Sample is a text of examples in the member's units.
func (p Prefs) Sample(text string) string {
	if p.Imperial() {
		return length.Handy(text)
	}
	return text
}

// Samples are blocks of examples in the member's units.
func (p Prefs) Samples(blocks []reply.Block) []reply.Block {
	told := make([]reply.Block, len(blocks))
	for i, block := range blocks {
		switch block := block.(type) {
		case reply.Text:
			told[i] = reply.Text(p.Sample(string(block)))
		case reply.Verbatim:
			told[i] = reply.Verbatim(p.Sample(string(block)))
		case reply.Facts:
			facts := make(reply.Facts, len(block))
			for n, f := range block {
				facts[n] = f
				facts[n].Value = p.Sample(f.Value)
			}
			told[i] = facts
		default:
			told[i] = block
		}
	}
	return told
}

// RoundsTo is the length that the member's cuts are rounded up to.
func (p Prefs) RoundsTo() length.Length {
	if p.Step > 0 {
		return p.Step
	}
	return sizing.StepIn(p.Style.System)
}

// StepWords is a rounding step in the member's units, or as it was given where
// theirs would only come near it.
func (p Prefs) StepWords(step length.Length) string {
	if p.Style.System == length.Imperial && step%(length.Inch/8) != 0 {
		return "about " + p.Style.Format(step) + " (" + step.String() + ")"
	}
	return p.Style.Format(step)
}

// Spare is the margin on every need.
func (p Prefs) Spare() cutlist.Fraction {
	if p.Margin > 0 {
		return p.Margin
	}
	return cutlist.DefaultMargin
}
