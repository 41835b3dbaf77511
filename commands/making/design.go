package making

import (
	"bytes"
	"compress/flate"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"

	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
)

// MostUndone is how many changes can be taken back.
const MostUndone = 200

// mostBytes is how large the history may be when it is kept, in bytes of its
// compressed form; what is oldest goes first.
const mostBytes = 40 << 10

// Design is a design as it stands, with what it was and what was taken back.
type Design struct {
	Name     string     // under which it is saved; empty until it is
	ID       string     // of the saved project
	Revision uint64     // of the saved project when it was opened or saved here
	Knots    []knot.Row // that the saved project took along
	Sheet    string     // as it stands, in the sheet's one form
	Panel    string     // the panel at hand
	Turn     int        // grows with every change, so that an old control is known
	Saved    string     // the sheet as it was saved or opened last

	past   []moment // what it was, the oldest first
	future []moment // what was taken back, the latest last
}

// moment is what a design was, and the panel that was in hand then.
type moment struct{ sheet, panel string }

// Size reads, sizes and prints a sheet. Faults of the sheet come as [sheet.Faults].
type Size func(text string) (sized sizing.Sized, printed string, err error)

// New is a design that begins with a sheet.
func New(text string, size Size) (Design, sizing.Sized, error) {
	sized, printed, err := size(text)
	d := Design{Sheet: printed}
	d.at(sized.Sheet, len(sized.Sheet.Panels))
	return d, sized, err
}

// Edit is a change of a sheet's lines.
type Edit func(p Page) ([]string, error)

// Do makes a change, when what comes of it sizes. On an error the design is as it was.
func (d *Design) Do(edit Edit, size Size, knots sheet.Knots) (sizing.Sized, error) {
	page, err := open(d.Sheet, d.Panel, knots)
	if err != nil {
		return sizing.Sized{}, err
	}
	lines, err := edit(page)
	if err != nil {
		return sizing.Sized{}, err
	}
	sized, printed, err := size(join(lines))
	if err != nil {
		return sized, err
	}
	d.become(printed)
	d.at(sized.Sheet, page.at)
	return sized, nil
}

func (d *Design) now() moment { return moment{d.Sheet, d.Panel} }

// become notes a new sheet. One that is as before changes nothing.
func (d *Design) become(text string) {
	if text == d.Sheet {
		return
	}
	d.past = append(d.past, d.now())
	d.past = d.past[max(0, len(d.past)-MostUndone):]
	d.Sheet, d.future = text, nil
	d.Turn++
}

// Undo takes the last change back, with the panel that was in hand before it; false
// when there is none.
func (d *Design) Undo() bool { return d.back(&d.past, &d.future) }

// Redo makes the change again that was taken back last, with the panel that was in
// hand after it; false when there is none.
func (d *Design) Redo() bool { return d.back(&d.future, &d.past) }

// back goes to the last moment of some, and leaves today's with others.
func (d *Design) back(to, leaving *[]moment) bool {
	last := len(*to) - 1
	if last < 0 {
		return false
	}
	*leaving = append(*leaving, d.now())
	d.Sheet, d.Panel, *to = (*to)[last].sheet, (*to)[last].panel, (*to)[:last]
	d.Turn++
	return true
}

// Behind and Ahead are how many changes can be taken back and made again.
func (d *Design) Behind() int { return len(d.past) }

// Ahead: see [Design.Behind].
func (d *Design) Ahead() int { return len(d.future) }

// Use takes another panel in hand.
func (d *Design) Use(panel string) {
	if panel != d.Panel {
		d.Panel = panel
		d.Turn++
	}
}

// at keeps a panel in hand that is there: the one named, or the one that stands in its
// place now, which is the last at most.
func (d *Design) at(s sheet.Sheet, place int) {
	for _, p := range s.Panels {
		if p.Name == d.Panel {
			return
		}
	}
	if n := len(s.Panels); n > 0 {
		d.Panel = s.Panels[min(place, n-1)].Name
	}
}

// Unsaved tells whether something was changed since it was saved or opened.
func (d *Design) Unsaved() bool { return d.Sheet != d.Saved }

// kept is a design as it is written down.
type kept struct {
	Name     string     `json:"name,omitempty"`
	ID       string     `json:"id,omitempty"`
	Revision uint64     `json:"revision,omitempty"`
	Knots    []knot.Row `json:"knots,omitempty"`
	Panel    string     `json:"panel"`
	Turn     int        `json:"turn"`
	At       int        `json:"at"`     // which of the sheets is today's
	Sheets   []byte     `json:"sheets"` // compressed; the last is the one that was saved
	Panels   []byte     `json:"panels"` // compressed: the panel in hand with each of the sheets but the last
}

// MarshalJSON writes the design down, its history compressed.
func (d Design) MarshalJSON() ([]byte, error) {
	past := d.past
	for {
		var sheets, panels []string
		for _, m := range slices.Concat(past, []moment{d.now()}, reversed(d.future)) {
			sheets, panels = append(sheets, m.sheet), append(panels, m.panel)
		}
		packed, err := pack(append(sheets, d.Saved))
		if err != nil {
			return nil, err
		}
		hands, err := pack(panels)
		if err != nil {
			return nil, err
		}
		if len(packed)+len(hands) <= mostBytes || len(past) == 0 {
			return json.Marshal(kept{d.Name, d.ID, d.Revision, d.Knots, d.Panel, d.Turn, len(past), packed, hands})
		}
		past = past[(len(past)+3)/4:]
	}
}

// UnmarshalJSON reads what MarshalJSON wrote, and what it wrote when it did not say
// which panel was in hand before: then it is today's.
func (d *Design) UnmarshalJSON(data []byte) error {
	var k kept
	if err := json.Unmarshal(data, &k); err != nil {
		return err
	}
	sheets, err := unpack(k.Sheets)
	if err != nil {
		return err
	}
	last := len(sheets) - 1
	if k.At < 0 || k.At >= last {
		return errors.New("a design in the making has no sheet")
	}
	panels := slices.Repeat([]string{k.Panel}, last)
	if k.Panels != nil {
		if panels, err = unpack(k.Panels); err != nil {
			return err
		}
	}
	if len(panels) != last {
		return errors.New("a design in the making has sheets without a panel in hand")
	}
	var all []moment
	for i, panel := range panels {
		all = append(all, moment{sheets[i], panel})
	}
	*d = Design{
		Name: k.Name, ID: k.ID, Revision: k.Revision, Knots: k.Knots, Panel: k.Panel, Turn: k.Turn,
		Saved: sheets[last], Sheet: sheets[k.At], past: all[:k.At:k.At], future: reversed(all[k.At+1:]),
	}
	return nil
}

func reversed(moments []moment) []moment {
	out := slices.Clone(moments)
	slices.Reverse(out)
	return out
}

func pack(texts []string) ([]byte, error) {
	var b bytes.Buffer
	w, err := flate.NewWriter(&b, flate.BestCompression)
	if err != nil {
		return nil, err
	}
	if err := json.NewEncoder(w).Encode(texts); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// mostUnpacked bounds what a kept history unfolds to: the largest sheets, all of them.
const mostUnpacked = (2*MostUndone + 2) * (64 << 10)

func unpack(packed []byte) ([]string, error) {
	var texts []string
	err := json.NewDecoder(io.LimitReader(flate.NewReader(bytes.NewReader(packed)), mostUnpacked)).Decode(&texts)
	if err != nil {
		return nil, fmt.Errorf("the history of a design cannot be read: %w", err)
	}
	return texts, nil
}
