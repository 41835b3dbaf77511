package sheet

import (
	"fmt"
	"slices"
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
	w.sheet(&s)
	text, _, _ := w.text(s.Remarks)
	return text
}

// statement is one line to be written and the place it was read from, a line of 0 when
// it was not read.
type statement struct {
	text   string
	at     *Place
	block  int // a blank line stands between blocks
	indent bool
}

type writer struct {
	measure    measure
	statements []statement
	block      int
}

func (w *writer) line(at *Place, indent bool, words ...string) {
	w.statements = append(w.statements, statement{spaced(words), at, w.block, indent})
}

// spaced is what words say with a space between; it takes out those that say nothing.
func spaced(words []string) string {
	return strings.Join(slices.DeleteFunc(words, func(word string) bool { return word == "" }), " ")
}

func (w *writer) sheet(s *Sheet) {
	w.head(s)
	for i := range s.Panels {
		w.panel(&s.Panels[i])
	}
	w.after(s)
}

func (w *writer) head(s *Sheet) {
	if s.Piece != "" {
		w.line(&s.PieceAt, false, "piece", strings.Join(strings.Fields(strings.ReplaceAll(s.Piece, "#", "")), " "))
	}
	if s.Copies > 1 {
		w.line(&s.CopiesAt, false, "copies", strconv.Itoa(s.Copies))
	}
	for i := range s.Cords {
		c := &s.Cords[i]
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
		w.line(&c.Place, false, "cord", c.Name, made+spoolOf(*c))
	}
	if s.Rod != nil {
		w.rod(s.Rod)
	}
	for i := range s.More {
		w.rod(&s.More[i])
	}
	if s.Tie != "" {
		w.line(&s.TieAt, false, "tie", string(s.Tie))
	}
	if s.Hang != "" {
		w.line(&s.HangAt, false, "hang", string(s.Hang))
	}
	if s.Margin != nil {
		w.line(&s.MarginAt, false, "margin", percent(*s.Margin))
	}
	if s.RoundUp != 0 {
		w.line(&s.RoundUpAt, false, "round up to", w.measure.length(s.RoundUp))
	}
	if s.Economy {
		w.line(&s.EconomyAt, false, "economy")
	}
}

func (w *writer) rod(r *Rod) {
	kind := "dowel"
	if r.Ring {
		kind = "ring"
	}
	w.line(&r.Place, false, kind, r.Name, w.measure.length(r.Length), "x", w.measure.thickness(r.Thickness), r.Wood)
}

func spoolOf(c Cord) string {
	if c.SpoolLength == 0 {
		return ""
	}
	text := ", spool " + length.SpoolLabel(c.SpoolLength)
	if c.SpoolMass != 0 {
		text += " " + length.MassLabel(c.SpoolMass)
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

func (w *writer) panel(p *Panel) {
	w.block++
	on, way, from := "", "", ""
	if p.On != "" {
		on = "on " + p.On
	}
	switch {
	case p.Round:
		way = "round"
	case p.BothWays:
		way = "both ways"
	}
	if len(p.From) > 0 {
		from = "from " + strings.Join(p.From, ", ")
	}
	w.line(&p.Place, false, "panel", p.Name, on, way, from)
	for _, s := range p.Steps {
		at := s.At()
		w.line(&at, true, w.step(s)...)
	}
}

// step is a step in words, some of them empty.
func (w *writer) step(s Step) []string {
	f := s.lay()
	out := append(make([]string, 0, 1+len(f.Amounts)), f.Word)
	for i := range f.Amounts {
		out = append(out, w.amount(&f.Amounts[i]))
	}
	return out
}

// StepText is a step as a sheet writes it for whoever measures in a system.
func StepText(s Step, system length.System) string {
	return spaced((&writer{measure: measureIn(system)}).step(s))
}

// RodText is the line of a dowel or ring for whoever measures in a system.
func RodText(r Rod, system length.System) string {
	w := &writer{measure: measureIn(system)}
	w.rod(&r)
	return w.statements[0].text
}

// SwagText is the line of a swag for whoever measures in a system.
func SwagText(g Swag, system length.System) string {
	w := &writer{measure: measureIn(system)}
	w.swag(&g)
	return w.statements[0].text
}

// amount is what one amount of a step says, or nothing when it is silent.
func (w *writer) amount(a *Amount) string {
	value := ""
	switch a.Kind {
	case Whole:
		if *a.Number != 0 {
			value = strconv.Itoa(*a.Number)
		}
	case Long:
		if *a.Length != 0 {
			value = w.measure.length(*a.Length)
		}
	case Named, Stuff, Stick, Choice:
		value = *a.Text
		if value == "" && a.Kind == Choice && a.Must {
			value = a.Words[0] // the usual one
		}
	case Often:
		return w.count(a.Word, *a.Count)
	case Some:
		if len(a.Ends.Parts) > 0 {
			value = a.Ends.String()
		}
	case Spot:
		return w.spot(a)
	case Said:
		if *a.Flag {
			return a.Word
		}
	case Incline:
		return incline(*a.Slope)
	case Lots:
		value = lots(*a.Hung)
	}
	if value == "" {
		return ""
	}
	if a.Word != "" {
		value = a.Word + " " + value
	}
	if a.After != "" {
		value += " " + a.After
	}
	return value
}

// spot is a place in the words of the amount: "left", "to middle", "at 5".
func (w *writer) spot(a *Amount) string {
	place := a.Position.String()
	switch {
	case a.Word == "from", a.Word == "at" && (a.Position.Anchor == Left || a.Position.Anchor == Right):
		return place
	}
	return a.Word + " " + place
}

func incline(slope *float64) string {
	switch {
	case slope == nil:
		return ""
	case *slope == 0:
		return "level"
	}
	return "slope " + strconv.FormatFloat(*slope, 'f', -1, 64)
}

func lots(hung []Hung) string {
	parts := make([]string, len(hung))
	for i, h := range hung {
		way := h.Way
		if way == "" {
			way = Folded
		}
		parts[i] = strings.TrimSpace(strconv.Itoa(h.Count) + " " + string(way) + " " + h.Cord)
	}
	return strings.Join(parts, ", ")
}

func (w *writer) after(s *Sheet) {
	w.block++
	for i := range s.Fringes {
		f := &s.Fringes[i]
		with := ""
		if f.Cord != "" {
			with = "with " + f.Cord
		}
		each, where := "", f.Rod
		if f.Each != 0 {
			each = "each " + w.measure.length(f.Each)
		}
		if f.Rod == "" {
			where = f.Side.String() + " of " + f.Panel
		}
		w.line(&f.Place, false, "fringe", w.measure.length(f.Drop), "by", strconv.Itoa(f.Pieces), each, "on", where, with)
	}
	for i := range s.Swags {
		w.swag(&s.Swags[i])
	}
	switch h := s.Hanger; {
	case h == nil:
	case h.Rise != 0:
		w.line(&h.Place, false, "hanger rise", w.measure.length(h.Rise))
	default:
		w.line(&h.Place, false, "hanger angle", strconv.FormatFloat(h.Angle, 'f', -1, 64))
	}
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

func (w *writer) swag(g *Swag) {
	w.line(&g.Place, false, "swag", strconv.Itoa(g.Count), g.Cord, "over", w.measure.length(g.Over), "drop", w.measure.length(g.Drop))
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
	case Foot:
		return "foot"
	}
	return "both"
}

// margin stands before the steps of a panel.
const margin = "  "

// text sets the statements with their blank lines and puts the comments back. It also
// tells the lines of the statements in it, and the comments as they stand there.
func (w *writer) text(remarks []Remark) (text string, lines []int, set []Remark) {
	behind := map[int]int{} // source line to the statement that carries its comment
	for i, s := range w.statements {
		if s.at.Line > 0 {
			if _, ok := behind[s.at.Line]; !ok {
				behind[s.at.Line] = i
			}
		}
	}
	before := make([][]string, len(w.statements)+1)
	after := make([]string, len(w.statements))
	for _, r := range remarks {
		text := tidyRemark(r.Text)
		if i, ok := behind[r.Line]; ok && after[i] == "" {
			after[i] = text
			continue
		}
		i := w.next(r.Line)
		before[i] = append(before[i], text)
	}
	var b strings.Builder
	line := 0
	put := func(margin, text string) {
		line++
		b.WriteString(margin)
		b.WriteString(text)
		b.WriteByte('\n')
	}
	remark := func(margin, text string) {
		put(margin, text)
		set = append(set, Remark{line, text})
	}
	lines = make([]int, len(w.statements))
	for i, s := range w.statements {
		if i > 0 && s.block != w.statements[i-1].block {
			put("", "")
		}
		indent := ""
		if s.indent {
			indent = margin
		}
		for _, text := range before[i] {
			remark(indent, text)
		}
		if after[i] == "" {
			put(indent, s.text)
		} else {
			put(indent, s.text+"  "+after[i])
			set = append(set, Remark{line, after[i]})
		}
		lines[i] = line
	}
	for _, text := range before[len(w.statements)] {
		remark("", text)
	}
	return b.String(), lines, set
}

// next is the first statement that was read from beyond a line, or the end.
func (w *writer) next(line int) int {
	found := len(w.statements)
	for i, s := range w.statements {
		if s.at.Line > line && (found == len(w.statements) || s.at.Line < w.statements[found].at.Line) {
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

// Says is what an amount of a step says as this sheet writes it, its word included;
// empty for one that is silent.
func (s Sheet) Says(a Amount) string { return (&writer{measure: measureOf(s)}).amount(&a) }

// Line is a step of the sheet as the sheet writes it.
func (s Sheet) Line(step Step) string {
	return spaced((&writer{measure: measureOf(s)}).step(step))
}
