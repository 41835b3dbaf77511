package sheettest

import (
	"slices"
	"strings"

	"pgregory.net/rapid"

	"larkfold/sizing/cord"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
)

// Written draws any sheet that the notation can write, whether it can be knotted
// or not. It has no places and no comments.
func Written(t *rapid.T) sheet.Sheet {
	w := &writing{t: t}
	s := sheet.Sheet{
		Piece:   w.words("piece", 3),
		Copies:  rapid.SampledFrom([]int{0, 0, 2, 1000}).Draw(w.t, "copies"),
		Tie:     rapid.SampledFrom([]sheet.Tying{"", sheet.PushedUp, sheet.Slack}).Draw(w.t, "tie"),
		Hang:    rapid.SampledFrom([]sheet.Hanging{"", sheet.Touching, sheet.Relaxed, sheet.Spread}).Draw(w.t, "hang"),
		Cords:   w.drawCords(),
		Economy: w.maybe("economy"),
		RoundUp: w.orZero("round up", 10*length.Metre),
		Margin:  w.fraction(),
		Rod:     w.rod(""),
	}
	if s.Rod != nil && w.maybe("more rods") {
		w.rods = append(w.rods, "r"+w.name("rod", append(w.rods, "od")))
		s.More = append(s.More, *w.rod(w.rods[0]))
	}
	s.Panels = w.drawPanels()
	for range w.number("fringes", 0, 2) {
		f := sheet.Fringe{Drop: w.length("drop"), Pieces: w.number("pieces", 1, 100), Cord: w.cord()}
		if f.Rod = w.one("fringe on rod", append([]string{"", "", "rod"}, w.rods...)); f.Rod == "" {
			f.Panel, f.Side = w.one("panel", w.panels), sheet.Side(w.number("side", 0, 3))
		}
		if f.Rod != "" || f.Side == sheet.Foot || w.maybe("each") {
			f.Each = w.length("each")
		}
		s.Fringes = append(s.Fringes, f)
	}
	for range w.number("swags", 0, 2) {
		s.Swags = append(s.Swags, sheet.Swag{Count: w.number("swag", 1, 90), Cord: w.cord(), Over: w.length("over"), Drop: w.length("drop")})
	}
	switch w.number("hanger", 0, 2) {
	case 1:
		s.Hanger = &sheet.Hanger{Rise: min(w.length("rise"), 100*length.Metre)}
	case 2:
		s.Hanger = &sheet.Hanger{Angle: float64(w.number("angle", 1, 899999)) / 1e4}
	}
	return s
}

// writing draws the parts of one sheet and remembers the names in it.
type writing struct {
	t             *rapid.T
	cords, panels []string
	rods          []string // the names of those beside the first
}

func (w *writing) number(what string, low, high int) int {
	return rapid.IntRange(low, high).Draw(w.t, what)
}

func (w *writing) maybe(what string) bool { return rapid.Bool().Draw(w.t, what) }

func (w *writing) one(what string, of []string) string { return rapid.SampledFrom(of).Draw(w.t, what) }

func (w *writing) words(what string, most int) string {
	words := []string{"Tide", "Line", "No. 7", "höst", "波の帯", "4 cm", "from", "कपास", "of", "(wide)", "l'été"}
	return strings.Join(rapid.SliceOfN(rapid.SampledFrom(words), 0, most).Draw(w.t, what), " ")
}

// name draws a name that is not among the taken ones.
func (w *writing) name(what string, taken []string) string {
	plain := rapid.StringMatching(`[a-z]{1,3}[a-zA-Z0-9-]{0,6}`)
	odd := rapid.SampledFrom([]string{"Flut", "høst", "波", "कपास", "n-2", "2", "ring", "tail", "mm", "Ärmel", "x", "by", "all"})
	return rapid.OneOf(plain, odd).Filter(func(name string) bool {
		return !slices.ContainsFunc(append(taken, "left", "right", "at", "over", "on", "round", "from", "both", "ways", "laid", "folded", "single", "strands", "level", "with"), func(other string) bool {
			return strings.EqualFold(name, other)
		})
	}).Draw(w.t, what)
}

// length draws a length as made in hundredths of a millimetre, in fractions of an
// inch, or in bare nanometres.
func (w *writing) length(what string) length.Length {
	step := rapid.SampledFrom([]length.Length{
		length.Centimetre, length.Millimetre, length.Millimetre / 100, length.Inch, length.Inch / 16, length.Inch / 64, length.Foot, length.Yard, 1,
	}).Draw(w.t, what+" step")
	low := (length.Millimetre/10 + step - 1) / step
	return step * length.Length(rapid.Int64Range(int64(low), int64(length.Kilometre/step)).Draw(w.t, what))
}

func (w *writing) orZero(what string, most length.Length) length.Length {
	if w.maybe("no " + what) {
		return 0
	}
	return min(w.length(what), most)
}

func (w *writing) fraction() *float64 {
	if w.maybe("no margin") {
		return nil
	}
	share := float64(w.number("margin", 0, 2_000_000)) / 1e6
	return &share
}

func (w *writing) drawCords() []sheet.Cord {
	var cords []sheet.Cord
	for range w.number("cords", 1, 3) {
		c := sheet.Cord{
			Name:         w.name("cord", w.cords),
			Thickness:    length.Length(rapid.Int64Range(int64(length.Millimetre/10), int64(100*length.Millimetre)).Draw(w.t, "thickness")),
			Construction: w.one("construction", []string{"", "single-strand", "plied", "braided"}),
			Colour:       cord.Colour(w.one("colour", []string{"", "teal", "#2f6f7a"})),
			Squeeze:      cord.Ratio(rapid.SampledFrom([]float64{0, 0.3, 0.75, 0.825, 1.2}).Draw(w.t, "squeeze")),
		}
		if w.maybe("spool") {
			c.SpoolLength = w.length("spool")
			c.SpoolMass = rapid.SampledFrom([]length.Mass{0, 900 * length.Gram, 2 * length.Pound, 8 * length.Ounce, 1, 1_500_000_001}).Draw(w.t, "mass")
			c.SpoolPrice = cord.Price(w.number("price", 0, 100_000))
		}
		w.cords = append(w.cords, c.Name)
		cords = append(cords, c)
	}
	return cords
}

func (w *writing) cord() string { return w.one("of cord", append([]string{""}, w.cords...)) }

func (w *writing) rod(name string) *sheet.Rod {
	if name == "" && w.maybe("no rod") {
		return nil
	}
	thickness := length.Millimetre + length.Length(rapid.Int64Range(0, int64(499*length.Millimetre)).Draw(w.t, "rod thickness"))
	return &sheet.Rod{
		Name: name, Ring: w.maybe("ring"), Length: max(w.length("rod"), 2*thickness+1), Thickness: thickness,
		Wood: w.one("wood", []string{"", "birch", "red oak", "ブナ"}),
	}
}

func (w *writing) drawPanels() []sheet.Panel {
	n := w.number("panels", 1, 4)
	for range n {
		w.panels = append(w.panels, w.name("panel", w.panels))
	}
	var panels []sheet.Panel
	free := []string{}
	for _, name := range w.panels {
		p := sheet.Panel{Name: name, Round: w.maybe("round")}
		if !p.Round && w.maybe("both ways") {
			p.BothWays = true
			p.Steps = append(p.Steps, w.mount(sheet.Laid))
			free = append(free, name)
			panels = append(panels, p)
			continue
		}
		if len(free) > 0 && w.maybe("joined") {
			n := w.number("joins", 1, len(free))
			p.From, free = slices.Clone(free[:n]), free[n:]
		} else {
			if p.On = w.one("on rod", append([]string{""}, w.rods...)); w.maybe("gap") {
				p.Steps = append(p.Steps, sheet.Gap{Length: w.length("gap")})
			}
			for range w.number("mounts", 1, 3) {
				p.Steps = append(p.Steps, w.mount("", sheet.Single, sheet.Laid))
			}
		}
		for range w.number("steps", 0, 8) {
			if w.number("repeat", 0, 9) == 0 {
				p.Steps = append(p.Steps, sheet.Repeat{Times: w.number("repeats", 2, 9)}, w.step(p), sheet.End{})
				continue
			}
			p.Steps = append(p.Steps, w.step(p))
		}
		free = append(free, name)
		panels = append(panels, p)
	}
	return panels
}

// mount draws one to three lots hung in some of the ways.
func (w *writing) mount(ways ...sheet.Way) sheet.Step {
	var m sheet.Mount
	for range w.number("lots", 1, 3) {
		m.Hung = append(m.Hung, sheet.Hung{Count: w.number("mount", 1, 40), Way: rapid.SampledFrom(ways).Draw(w.t, "way"), Cord: w.cord()})
	}
	return m
}

func (w *writing) step(p sheet.Panel) sheet.Step {
	knot := w.one("knot", Names())
	of := w.number("of", 0, 12)
	switch w.number("kind", 0, 15) {
	case 0:
		shift := 0
		if p.Round {
			shift = w.number("shift", 0, 8)
		}
		return sheet.Row{Knot: knot, Of: of, Skip: w.number("skip", 0, 8), Shift: shift, On: w.ends()}
	case 1:
		return sheet.Net{Knot: knot, Rows: w.count(p.Name, false), Of: of, Shifted: w.maybe("shifted"), Apart: w.orZero("apart", length.Metre), On: w.ends()}
	case 2:
		return sheet.Taper{Widen: w.maybe("widen"), Knot: knot, Rows: w.count(p.Name, true), Of: of, Apart: w.orZero("apart", length.Metre), On: w.ends()}
	case 3:
		return sheet.Sinnet{Knot: knot, Times: w.count(p.Name, false), Of: of, Apart: w.orZero("apart", length.Metre), On: w.ends()}
	case 4:
		b := sheet.Bar{Gather: w.maybe("gather"), From: w.position(), Times: w.count(p.Name, true), Apart: w.orZero("apart", length.Metre)}
		b.To = w.position()
		if b.To == b.From {
			b.To = sheet.Position{Number: max(b.From.Number, -b.From.Number) + 1}
		}
		if w.maybe("slope") {
			slope := float64(w.number("degrees", 0, 89_999)) / 1e3
			b.Slope = &slope
		}
		return b
	case 5:
		if of < 3 {
			of = 0
		}
		p := sheet.Plait{Strands: w.number("four", 0, 1) * 4, Of: of, Length: w.length("plait"), Tight: w.maybe("tight"), On: w.ends()}
		p.Loose = !p.Tight && w.maybe("loose")
		return p
	case 6:
		return sheet.Add{Count: w.number("add", 1, 20), Way: rapid.SampledFrom([]sheet.Way{"", sheet.Single}).Draw(w.t, "way"), Cord: w.cord(), Where: w.position()}
	case 7:
		return sheet.Wrap{Turns: w.number("turns", 1, 1000), On: w.ends(), Cord: w.cord()}
	case 8:
		return sheet.Wrap{Length: w.length("wrap"), On: w.ends(), Cord: w.cord()}
	case 9:
		return sheet.Space{Length: w.length("space"), On: w.ends()}
	case 10:
		return sheet.Wrap{Cut: w.length("wrap"), On: w.ends(), Cord: w.cord()}
	case 11:
		return sheet.Bead{Length: w.length("bead"), Hole: w.orZero("hole", 20*length.Centimetre), Of: of, On: w.ends()}
	case 12:
		return sheet.Tassel{Length: w.length("tassel"), Strands: w.number("strands", 1, 60), Cord: w.cord(), On: w.ends()}
	case 13:
		return sheet.Leaf{Pairs: w.number("pairs", 1, 60), First: w.length("first"), Last: w.length("last"), Cord: w.cord(), On: w.ends()}
	case 14:
		if len(w.rods) > 0 {
			return sheet.Onto{Rod: w.one("onto", append([]string{"rod"}, w.rods...))}
		}
	}
	t := sheet.Tail{Length: w.length("tail"), On: w.ends()}
	if w.maybe("sloping") {
		t.To = w.length("to")
		t.Peak = rapid.SampledFrom([]sheet.Peak{sheet.AtMiddle, sheet.AtEdges, sheet.AtLeft, sheet.AtRight}).Draw(w.t, "peak")
	}
	return t
}

func (w *writing) count(panel string, silent bool) sheet.Count {
	low := 1
	if silent {
		low = 0
	}
	others := slices.DeleteFunc(slices.Clone(w.panels), func(name string) bool { return name == panel })
	switch kind := w.number("count", low, 4); {
	case kind == 0:
		return sheet.Count{}
	case kind == 1:
		return sheet.Count{For: w.length("for")}
	case kind == 2 && len(others) > 0:
		return sheet.Count{Under: w.one("under", others), By: w.orZero("by", length.Metre)}
	}
	return sheet.Count{N: w.number("times", 1, 60)}
}

func (w *writing) ends() sheet.Ends {
	var ends sheet.Ends
	last := 0
	for range w.number("parts", 0, 3) {
		if kind := sheet.SpanKind(w.number("span", 0, 3)); kind != sheet.Numbers {
			ends.Parts = append(ends.Parts, sheet.Span{Kind: kind, To: w.number("ends", 1, 40)})
			continue
		}
		from := last + w.number("from", 1, 8)
		last = from + w.number("more", 0, 8)
		ends.Parts = append(ends.Parts, sheet.Span{From: from, To: last})
	}
	return ends
}

func (w *writing) position() sheet.Position {
	switch anchor := sheet.Anchor(w.number("anchor", 0, 3)); anchor {
	case sheet.Absolute:
		return sheet.Position{Number: w.number("at", 1, 60)}
	case sheet.Middle:
		return sheet.Position{Anchor: anchor, Number: w.number("offset", -20, 20)}
	default:
		return sheet.Position{Anchor: anchor}
	}
}
