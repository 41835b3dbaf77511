package sheet

import (
	"fmt"
	"strconv"
	"strings"

	"larkfold/sizing/length"
)

// Format writes a sheet in its one canonical form, which [Parse] reads back as
// the same sheet. Comments keep their places by the lines of the statements they
// stood before or behind. Names must be such as Parse reads: a '#' or a line break
// in the name of the piece is left out.
func Format(s Sheet) string {
	w := &writer{measure: measureOf(s)}
	w.head(s)
	for _, p := range s.Panels {
		w.panel(p)
	}
	w.after(s)
	return w.text(s.Remarks)
}

// statement is one line to be written and the line it was read from, 0 when it
// was not read.
type statement struct {
	text   string
	source int
	block  int // a blank line stands between blocks
	indent bool
}

type writer struct {
	measure    measure
	statements []statement
	block      int
}

func (w *writer) line(at Place, indent bool, words ...string) {
	kept := words[:0]
	for _, text := range words {
		if text != "" {
			kept = append(kept, text)
		}
	}
	w.statements = append(w.statements, statement{strings.Join(kept, " "), at.Line, w.block, indent})
}

func (w *writer) head(s Sheet) {
	if s.Piece != "" {
		w.line(s.PieceAt, false, "piece", strings.Join(strings.Fields(strings.ReplaceAll(s.Piece, "#", "")), " "))
	}
	for _, c := range s.Cords {
		made := w.measure.thickness(c.Thickness)
		if c.Construction != "" {
			made += " " + c.Construction
		}
		if c.Colour != "" {
			made += " colour " + string(c.Colour)
		}
		if c.Squeeze != 0 {
			made += " squeeze " + strconv.FormatFloat(float64(c.Squeeze), 'f', -1, 64)
		}
		w.line(c.Place, false, "cord", c.Name, made+spoolOf(c))
	}
	if r := s.Rod; r != nil {
		kind := "dowel"
		if r.Ring {
			kind = "ring"
		}
		w.line(r.Place, false, kind, w.measure.length(r.Length), "x", w.measure.thickness(r.Thickness), r.Wood)
	}
	if s.Margin != nil {
		w.line(s.MarginAt, false, "margin", percent(*s.Margin))
	}
	if s.RoundUp != 0 {
		w.line(s.RoundUpAt, false, "round up to", w.measure.length(s.RoundUp))
	}
	if s.Economy {
		w.line(s.EconomyAt, false, "economy")
	}
}

func spoolOf(c Cord) string {
	if c.SpoolLength == 0 {
		return ""
	}
	text := ", spool " + spoolLength(c.SpoolLength)
	if c.SpoolMass != 0 {
		text += " " + mass(c.SpoolMass)
	}
	if c.SpoolPrice != 0 {
		text += " " + c.SpoolPrice.String()
	}
	return text
}

// percent writes a share with its decimal point two places on, digit for digit,
// so that it is read back exactly.
func percent(share float64) string {
	whole, decimals, _ := strings.Cut(strconv.FormatFloat(share, 'f', -1, 64), ".")
	decimals += strings.Repeat("0", max(0, 2-len(decimals)))
	whole = strings.TrimLeft(whole+decimals[:2], "0")
	if whole == "" {
		whole = "0"
	}
	if decimals = decimals[2:]; decimals != "" {
		whole += "." + decimals
	}
	return whole + "%"
}

func (w *writer) panel(p Panel) {
	w.block++
	round, from := "", ""
	if p.Round {
		round = "round"
	}
	if len(p.From) > 0 {
		from = "from " + strings.Join(p.From, ", ")
	}
	w.line(p.Place, false, "panel", p.Name, round, from)
	for _, s := range p.Steps {
		w.line(s.At(), true, w.step(s)...)
	}
}

func (w *writer) step(s Step) []string {
	long := w.measure.length
	switch s := s.(type) {
	case Mount:
		return []string{"mount", strconv.Itoa(s.Count), folded(s.Single), s.Cord}
	case Gap:
		return []string{"gap", long(s.Length)}
	case Row:
		return []string{"row", s.Knot, number("of", s.Of), number("skip", s.Skip), number("shift", s.Shift), on(s.On)}
	case Net:
		return []string{"net", s.Knot, w.count("rows", s.Rows), number("of", s.Of), w.apart(s.Apart), on(s.On)}
	case Taper:
		verb := "taper"
		if s.Widen {
			verb = "widen"
		}
		return []string{verb, s.Knot, w.count("rows", s.Rows), number("of", s.Of), w.apart(s.Apart), on(s.On)}
	case Sinnet:
		return []string{"sinnet", s.Knot, w.count("times", s.Times), number("of", s.Of), w.apart(s.Apart), on(s.On)}
	case Bar:
		verb, slope := "bar", ""
		if s.Gather {
			verb = "gather"
		}
		if s.Slope != nil {
			slope = "slope " + strconv.FormatFloat(*s.Slope, 'f', -1, 64)
		}
		return []string{verb, s.From.String(), "to", s.To.String(), w.count("times", s.Times), slope, w.apart(s.Apart)}
	case Plait:
		return []string{"plait", number("of", s.Of), "for", long(s.Length), on(s.On)}
	case Add:
		where := s.Where.String()
		if s.Where.Anchor != Left && s.Where.Anchor != Right {
			where = "at " + where
		}
		return []string{"add", strconv.Itoa(s.Count), folded(s.Single), s.Cord, where}
	case Wrap:
		with := ""
		if s.Cord != "" {
			with = "with " + s.Cord
		}
		if s.Turns > 0 {
			return []string{"wrap", number("turns", s.Turns), on(s.On), with}
		}
		return []string{"wrap length", long(s.Length), on(s.On), with}
	case Space:
		return []string{"space", long(s.Length), on(s.On)}
	case Tail:
		return []string{"tail", long(s.Length), on(s.On)}
	}
	return []string{fmt.Sprintf("# a step of an unknown kind: %T", s)}
}

func (w *writer) after(s Sheet) {
	w.block++
	for _, f := range s.Fringes {
		with := ""
		if f.Cord != "" {
			with = "with " + f.Cord
		}
		w.line(f.Place, false, "fringe", w.measure.length(f.Drop), "by", strconv.Itoa(f.Pieces), "on", f.Side.String(), "of", f.Panel, with)
	}
	for _, g := range s.Swags {
		w.line(g.Place, false, "swag", strconv.Itoa(g.Count), g.Cord, "over", w.measure.length(g.Over), "drop", w.measure.length(g.Drop))
	}
	switch h := s.Hanger; {
	case h == nil:
	case h.Rise != 0:
		w.line(h.Place, false, "hanger rise", w.measure.length(h.Rise))
	default:
		w.line(h.Place, false, "hanger angle", strconv.FormatFloat(h.Angle, 'f', -1, 64))
	}
}

func folded(single bool) string {
	if single {
		return "single"
	}
	return "folded"
}

func number(word string, n int) string {
	if n == 0 {
		return ""
	}
	return word + " " + strconv.Itoa(n)
}

func (w *writer) count(word string, c Count) string {
	switch {
	case c.N != 0:
		return number(word, c.N)
	case c.For != 0:
		return "for " + w.measure.length(c.For)
	case c.Under != "" && c.By != 0:
		return "until under " + c.Under + " by " + w.measure.length(c.By)
	case c.Under != "":
		return "until under " + c.Under
	}
	return ""
}

func (w *writer) apart(bare length.Length) string {
	if bare == 0 {
		return ""
	}
	return "apart " + w.measure.length(bare)
}

func on(ends Ends) string {
	if len(ends.Parts) == 0 {
		return ""
	}
	return "on " + ends.String()
}

// String writes the ends as a sheet does: "all", "1-4, 9-12", "left 4".
func (e Ends) String() string {
	if len(e.Parts) == 0 {
		return "all"
	}
	parts := make([]string, len(e.Parts))
	for i, p := range e.Parts {
		switch {
		case p.Kind == Leftmost:
			parts[i] = number("left", p.To)
		case p.Kind == Rightmost:
			parts[i] = number("right", p.To)
		case p.Kind == Middlemost:
			parts[i] = number("middle", p.To)
		case p.From == p.To:
			parts[i] = strconv.Itoa(p.From)
		default:
			parts[i] = fmt.Sprintf("%d-%d", p.From, p.To)
		}
	}
	return strings.Join(parts, ", ")
}

// String writes the position as a sheet does: "left", "middle+1", "7".
func (p Position) String() string {
	switch {
	case p.Anchor == Left:
		return "left"
	case p.Anchor == Right:
		return "right"
	case p.Anchor == Middle && p.Number == 0:
		return "middle"
	case p.Anchor == Middle:
		return fmt.Sprintf("middle%+d", p.Number)
	}
	return strconv.Itoa(p.Number)
}

// String writes the edge as a sheet does.
func (s Side) String() string {
	switch s {
	case LeftEdge:
		return "left"
	case RightEdge:
		return "right"
	}
	return "both"
}

// text sets the statements with their blank lines and puts the comments back.
func (w *writer) text(remarks []Remark) string {
	behind := map[int]int{} // source line to the statement that carries its comment
	for i, s := range w.statements {
		if s.source > 0 {
			if _, ok := behind[s.source]; !ok {
				behind[s.source] = i
			}
		}
	}
	before := make([][]string, len(w.statements)+1)
	after := make([]string, len(w.statements))
	for _, r := range remarks {
		text := tidyRemark(r.Text)
		if i, ok := behind[r.Line]; ok && after[i] == "" {
			after[i] = "  " + text
			continue
		}
		i := w.next(r.Line)
		before[i] = append(before[i], text)
	}
	var b strings.Builder
	for i, s := range w.statements {
		if i > 0 && s.block != w.statements[i-1].block {
			b.WriteByte('\n')
		}
		margin := ""
		if s.indent {
			margin = "  "
		}
		for _, text := range before[i] {
			b.WriteString(margin + text + "\n")
		}
		b.WriteString(margin + s.text + after[i] + "\n")
	}
	for _, text := range before[len(w.statements)] {
		b.WriteString(text + "\n")
	}
	return b.String()
}

// next is the first statement that was read from beyond a line, or the end.
func (w *writer) next(line int) int {
	found := len(w.statements)
	for i, s := range w.statements {
		if s.source > line && (found == len(w.statements) || s.source < w.statements[found].source) {
			found = i
		}
	}
	return found
}

func tidyRemark(text string) string {
	text = strings.Join(strings.FieldsFunc(text, func(r rune) bool { return r == '\n' || r == '\r' }), " ")
	if !strings.HasPrefix(text, "#") {
		text = "# " + text
	}
	return strings.TrimSpace(text)
}
