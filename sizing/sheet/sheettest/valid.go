package sheettest

import (
	"slices"

	"pgregory.net/rapid"

	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
)

// Valid draws a sheet that can be knotted: its ends are there, groups fit, bars
// go somewhere, joined panels match, tails are long enough to tie with, and its
// dowel is long enough for all panels.
func Valid(t *rapid.T) sheet.Sheet {
	k := &knotting{writing: writing{t: t}}
	s := sheet.Sheet{
		Piece: k.words("piece", 3),
		Cords: []sheet.Cord{{Name: "main", Thickness: k.millimetres("thickness", 2, 8), Construction: "single-strand"}},
		Rod:   &sheet.Rod{Length: 6 * length.Metre, Thickness: k.millimetres("rod", 8, 30)},
	}
	k.cords = []string{"main"}
	if k.maybe("second cord") {
		second := s.Cords[0]
		second.Name, second.Construction = "second", "plied"
		s.Cords, k.cords = append(s.Cords, second), append(k.cords, second.Name)
	}
	for i := range k.number("panels", 1, 3) {
		name := []string{"wave", "reed", "shore"}[i]
		p, ends := k.panel(name)
		s.Panels = append(s.Panels, p)
		if !p.Round && k.maybe("joined") {
			twin := p
			twin.Name = name + "-twin"
			// Long bare ends let both swing until their bottoms meet.
			p.Steps = append(p.Steps, sheet.Space{Length: k.millimetres("swing", 800, 1200)})
			s.Panels[len(s.Panels)-1] = p
			twin.Steps = slices.Clone(p.Steps)
			join := sheet.Panel{Name: name + "-join", From: []string{p.Name, twin.Name}}
			steps, _ := k.steps(nil, 2*ends, false)
			join.Steps = k.finish(steps)
			s.Panels = append(s.Panels, twin, join)
			continue
		}
		s.Panels[len(s.Panels)-1].Steps = k.finish(p.Steps)
	}
	if k.maybe("hanger") {
		s.Hanger = &sheet.Hanger{Rise: k.millimetres("rise", 100, 400)}
	}
	return s
}

// knotting draws steps that fit the ends in hand, which are always a multiple of 4.
type knotting struct {
	writing
	edge int // ends that the row just tied left at both edges; -1 after anything else
}

func (k *knotting) millimetres(what string, low, high int) length.Length {
	return length.Length(k.number(what, low, high)) * length.Millimetre
}

func (k *knotting) panel(name string) (p sheet.Panel, ends int) {
	p = sheet.Panel{Name: name, Round: k.maybe("round")}
	if k.maybe("gap") {
		p.Steps = append(p.Steps, sheet.Gap{Length: k.millimetres("gap", 5, 50)})
	}
	for range k.number("mounts", 1, 2) {
		var m sheet.Mount
		for range k.number("lots", 1, 2) {
			way := rapid.SampledFrom([]sheet.Way{"", "", sheet.Single, sheet.Laid}).Draw(k.t, "way")
			h := sheet.Hung{Count: 4 * k.number("mount", 1, 2), Way: way, Cord: k.cord()}
			ends += h.Ends()
			m.Hung = append(m.Hung, h)
		}
		p.Steps = append(p.Steps, m)
	}
	p.Steps, ends = k.steps(p.Steps, ends, p.Round)
	return p, ends
}

func (k *knotting) steps(steps []sheet.Step, ends int, round bool) ([]sheet.Step, int) {
	k.edge = -1
	for range k.number("steps", 0, 5) {
		if k.number("repeat", 0, 7) == 0 && ends >= 8 {
			steps = append(steps, sheet.Repeat{Times: k.number("times", 2, 4)}, sheet.Row{Knot: "square knot"}, sheet.Space{Length: k.millimetres("space", 10, 80)}, sheet.End{})
			k.edge = -1
			continue
		}
		s := k.step(ends, round)
		if add, ok := s.(sheet.Add); ok {
			ends += 2 * add.Count
		}
		steps = append(steps, s)
	}
	return steps, ends
}

// step draws one step. A panel that is not round may also lean to one side, taper
// and grow.
func (k *knotting) step(ends int, round bool) sheet.Step {
	knot := k.one("knot", []string{"square knot", "half knot"})
	kind := k.number("kind", 0, 12)
	if kind < 2 || kind < 4 && !round {
		return k.rows(kind, knot, ends, round)
	}
	k.edge = -1
	switch {
	case kind == 4 && !round:
		if k.maybe("from the left") {
			return sheet.Bar{From: sheet.Position{Anchor: sheet.Left}, To: sheet.Position{Anchor: sheet.Middle}, Gather: k.maybe("gather")}
		}
		to := k.number("to", 1, ends-1)
		if to == ends/2+1 {
			to = ends / 2 // bars from both sides cross, for two that only meet may hang apart
		}
		return sheet.Bar{From: sheet.Position{Anchor: sheet.Right}, To: sheet.Position{Number: to}}
	case kind == 5:
		return sheet.Plait{Length: k.millimetres("plait", 80, 200), Tight: k.maybe("tight"), On: k.few(3)}
	case kind == 6 && !round:
		side := sheet.Anchor(k.number("side", int(sheet.Left), int(sheet.Right)))
		return sheet.Add{Count: 2 * k.number("add", 1, 2), Cord: k.cord(), Where: sheet.Position{Anchor: side}}
	case kind == 7:
		return sheet.Wrap{Turns: k.number("turns", 3, 9), On: k.few(4)}
	case kind == 8:
		return sheet.Sinnet{Knot: knot, Times: sheet.Count{N: k.number("times", 1, 12)}, On: k.few(4)}
	}
	return k.further(kind, ends, round)
}

// further draws the rarer steps.
func (k *knotting) further(kind, ends int, round bool) sheet.Step {
	switch {
	case kind == 9 && !round:
		level := 0.0
		return sheet.Bar{From: sheet.Position{Anchor: sheet.Left}, To: sheet.Position{Anchor: sheet.Right}, Slope: &level, Times: sheet.Count{N: k.number("bars", 1, 3)}}
	case kind == 10:
		return sheet.Plait{Strands: 4, Length: k.millimetres("plait", 80, 200), On: k.few(4)}
	case kind == 11:
		return sheet.Bead{Length: k.millimetres("bead", 8, 30), Of: 2}
	case kind == 12:
		return sheet.Tassel{Length: k.millimetres("tassel", 60, 200), Strands: k.number("strands", 4, 20), On: k.few(2)}
	}
	return sheet.Space{Length: k.millimetres("space", 10, 80)}
}

// rows draws a row, a net, a taper or a widening, which go on from the row above.
func (k *knotting) rows(kind int, knot string, ends int, round bool) sheet.Step {
	const half = 2
	inner := (ends - 2*half) / 2 // the edge that leaves room for one group
	switch {
	case kind == 1 && ends >= 8:
		n := k.number("rows", 1, 6)
		k.edge = (n - 1) % 2 * half
		shifted := k.maybe("shifted") && ends >= 12
		if shifted {
			k.edge = n % 2 * half
		}
		return sheet.Net{Knot: knot, Rows: sheet.Count{N: n}, Shifted: shifted, Apart: k.millimetres("apart", 0, 10)}
	case kind == 2 && (k.edge < 0 || k.edge+half <= inner):
		first := 0
		if k.edge >= 0 {
			first = k.edge + half
		}
		n := k.number("rows", 1, (inner-first)/half+1)
		k.edge = first + (n-1)*half
		return sheet.Taper{Knot: knot, Rows: sheet.Count{N: n}}
	case kind == 3 && (k.edge < 0 || k.edge >= half):
		first := inner
		if k.edge >= 0 {
			first = k.edge - half
		}
		n := k.number("rows", 1, first/half+1)
		k.edge = first - (n-1)*half
		return sheet.Taper{Widen: true, Knot: knot, Rows: sheet.Count{N: n}}
	}
	row := sheet.Row{Knot: knot, Skip: min(half*k.number("skip", 0, 2), inner)}
	if round && row.Skip == 0 {
		row.Shift = k.number("shift", 0, 3)
	}
	k.edge = row.Skip
	return row
}

// few names so many ends at one place that every panel has.
func (k *knotting) few(n int) sheet.Ends {
	part := rapid.SampledFrom([]sheet.Span{
		{From: 1, To: n}, {Kind: sheet.Leftmost, To: n}, {Kind: sheet.Rightmost, To: n},
	}).Draw(k.t, "few")
	return sheet.Ends{Parts: []sheet.Span{part}}
}

// finish ends a panel that joins no other.
func (k *knotting) finish(steps []sheet.Step) []sheet.Step {
	if k.maybe("wrapped") {
		steps = append(steps, sheet.Wrap{Turns: k.number("turns", 3, 12)})
	}
	return append(steps, sheet.Tail{Length: k.millimetres("tail", 150, 400)})
}
