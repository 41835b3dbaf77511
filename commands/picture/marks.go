package picture

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"larkfold/commands/picture/paint"
	"larkfold/sizing"
	"larkfold/sizing/dowel"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
)

// The strips of marks on a page.
const (
	stripsToPage              = 4
	stripGap     paint.Points = 124
	ruler        paint.Points = 32 // width of a strip
)

// marksOf are the places of the panels' mounts from the left end of the rod, the
// work centred on it; without a rod's length, from the left edge of the work.
func marksOf(sized sizing.Sized) []dowel.Mark {
	if sized.Rod.Ring {
		return nil
	}
	offset := length.Length(0)
	if sized.Rod.Length > sized.Mounted {
		offset = (sized.Rod.Length - sized.Mounted) / 2
	}
	var marks []dowel.Mark
	for _, panel := range sized.Panels {
		var m dowel.Mark
		for _, i := range panel.Strands {
			s := sized.Strands[i]
			if s.Added {
				continue
			}
			left, right := offset+s.X-s.Width/2, offset+s.X+s.Width/2
			if m.Cords == 0 {
				m = dowel.Mark{Group: panel.Name, Start: left, End: right}
			}
			m.Cords++
			m.Start, m.End = min(m.Start, left), max(m.End, right)
		}
		if m.Cords > 0 {
			m.PerCord = m.Width() / length.Length(m.Cords)
			marks = append(marks, m)
		}
	}
	return marks
}

// mostRod is the longest rod that is marked in life size.
const mostRod = 4 * length.Metre

// onPaper is a length in life size.
func onPaper(l length.Length) paint.Points {
	return paint.Points(float64(l) / float64(length.Millimetre) * float64(millimetre))
}

// marks sets the places of the mounts on the rod in life size, in strips to cut
// out and lay along it.
func (p *printer) marks() {
	marks := p.o.Marks
	if marks == nil {
		marks = marksOf(p.sized)
	}
	end := length.Length(0)
	for _, m := range marks {
		end = max(end, m.End)
	}
	if len(marks) == 0 || end <= 0 {
		return
	}
	if end > mostRod {
		p.marksInWords(marks)
		return
	}
	const foot, head = 96, 72
	each := p.high - 2*printMargin - foot - head // points of rod to a strip
	whole := length.Length(math.Floor(float64(each/millimetre)/10)) * length.Centimetre
	if p.o.Units.System == length.Imperial {
		whole = length.Length(each/72) * length.Inch
	}
	strips := int((end + whole - 1) / whole)
	for n := range strips {
		if n%stripsToPage == 0 {
			p.marksPage()
		}
		x := printMargin + 8 + paint.Points(n%stripsToPage)*stripGap
		p.rodStrip(marks, n, strips, whole, x, printMargin+head)
	}
}

// marksInWords lists the marks of a rod that is too long to print.
func (p *printer) marksInWords(marks []dowel.Mark) {
	list := make([]string, len(marks))
	for i, m := range marks {
		list[i] = fmt.Sprintf("%s: from %s to %s from the left end of the rod.", m.Group, p.o.Units.Format(m.Start), p.o.Units.Format(m.End))
	}
	p.sentences("Marks on the rod", list, "–")
}

// marksPage begins a page of marks with the bars that show whether it was printed
// in life size.
func (p *printer) marksPage() {
	p.turn()
	part := p.Open(paint.ALine, -1, paint.At(printMargin, p.y+14))
	p.Write("Marks for the rod, in life size", paint.At(printMargin, p.y+14), paint.Style{Face: paint.Title, Size: 14, Ink: paint.DarkInk()}, paint.Leftward, p.text())
	p.Close(part)
	p.Reads("H2", "", 0)
	p.Paragraph("Print at 100 %, without fitting to the page. Cut the strips out and lay each along the rod from its left end, one after the other.", paint.At(printMargin, p.y+30), paint.NoteStyle(), p.text(), 12)
	p.y = p.bottom()
	y := p.high - printMargin - 46
	for i, bar := range []struct {
		long length.Length
		text string
	}{{100 * length.Millimetre, "must measure 100 mm"}, {4 * length.Inch, "must measure 4 in"}} {
		at := y + paint.Points(i)*16
		part := p.Open(ACheck, i, paint.At(printMargin, at))
		right := printMargin + onPaper(bar.long)
		p.Rule(paint.At(printMargin, at), paint.At(right, at), paint.DarkInk(), 1)
		p.Rule(paint.At(printMargin, at-4), paint.At(printMargin, at+4), paint.DarkInk(), 0.5)
		p.Rule(paint.At(right, at-4), paint.At(right, at+4), paint.DarkInk(), 0.5)
		p.Write(bar.text, paint.At(right+8, at+3.3), paint.NoteStyle(), paint.Leftward, 0)
		p.Close(part)
		p.Parts[part].Name = bar.text
	}
}

// rodStrip draws strip n of the rod with its marks.
func (p *printer) rodStrip(marks []dowel.Mark, n, strips int, whole length.Length, x, top paint.Points) {
	from, to := whole*length.Length(n), whole*length.Length(n+1)
	y := func(l length.Length) paint.Points { return top + onPaper(l-from) }
	clip := func(l length.Length) length.Length { return max(from, min(to, l)) }
	since := len(p.Shapes)
	part := p.Open(AStrip, n, paint.At(x, top))
	p.Line(paint.Rectangle(paint.Between(x, top, x+ruler, y(to))), paint.FaintInk(), 0.6)
	tick, step := length.Centimetre, 5
	if p.o.Units.System == length.Imperial {
		tick, step = length.Inch/2, 2
	}
	for i := 0; ; i++ {
		at := tick * length.Length(i)
		if at < from {
			continue
		}
		if at > to {
			break
		}
		long := paint.Points(3)
		if i%step == 0 {
			long = 6
			if room := paint.Points(4); y(at) > top+room && y(at) < y(to)-room {
				number := fmt.Sprint(i / step * 5)
				if p.o.Units.System == length.Imperial {
					number = fmt.Sprint(i / step)
				}
				p.Write(number, paint.At(x+ruler-7.5, y(at)+2.8), paint.Style{Face: paint.Plain, Size: 8, Ink: paint.QuietInk()}, paint.Rightward, 0)
			}
		}
		p.Rule(paint.At(x+ruler-long, y(at)), paint.At(x+ruler, y(at)), paint.QuietInk(), 0.4)
	}
	name := fmt.Sprintf("strip %d of %d", n+1, strips)
	if n == 0 {
		name += ": left end"
	} else {
		name += ", from " + p.o.Units.Format(from)
	}
	p.Write(name, paint.At(x, top-8), paint.NoteStyle(), paint.Leftward, stripGap-8)
	p.Close(part)
	var labels []markLabel
	for i, m := range marks {
		if m.End <= from || m.Start >= to {
			continue
		}
		a, b := y(clip(m.Start)), y(clip(m.End))
		group := p.Open(ABar, i, paint.At(x, a))
		p.Textured(paint.Between(x+1, a, x+12, b), paint.Slanted, paint.RGB(0xFFFDF8), paint.QuietInk())
		if onPaper(m.PerCord) > 3 && m.Cords <= 2000 {
			for c := 1; c < m.Cords; c++ {
				at := m.Start + m.PerCord*length.Length(c)
				if at > from && at < to {
					p.Rule(paint.At(x, y(at)), paint.At(x+8, y(at)), paint.DarkInk(), 0.3)
				}
			}
		}
		p.Close(group)
		for _, at := range []length.Length{m.Start, m.End} {
			if at < from || at > to {
				continue
			}
			mark := p.Open(AMark, i, paint.At(x, y(at)))
			p.Rule(paint.At(x, y(at)), paint.At(x+ruler+4, y(at)), paint.AccentInk(), 0.8)
			p.Close(mark)
			p.Parts[mark].Name = m.Group
			labels = append(labels, markLabel{y(at), p.o.Units.Format(at), paint.Style{Face: paint.Plain, Size: 9, Ink: paint.AccentInk()}})
		}
		name := fmt.Sprintf("%s, %s", m.Group, noun.Count(m.Cords, "cord"))
		labels = append(labels, markLabel{(a + b) / 2, name, paint.Style{Face: paint.Bold, Size: 9, Ink: paint.DarkInk()}})
	}
	p.label(labels, x+ruler+4)
	p.Reads("Figure", p.stripAlt(marks, name, from, to), since)
}

// stripAlt is a strip in words.
func (p *printer) stripAlt(marks []dowel.Mark, name string, from, to length.Length) string {
	parts := []string{noun.Capital(name) + "."}
	for _, m := range marks {
		if m.End > from && m.Start < to {
			parts = append(parts, fmt.Sprintf("%s, %s, hangs from %s to %s.", m.Group, noun.Count(m.Cords, "cord"), p.o.Units.Format(m.Start), p.o.Units.Format(m.End)))
		}
	}
	return strings.Join(parts, " ")
}

// markLabel is what is written beside a place of a strip.
type markLabel struct {
	at   paint.Points
	text string
	paint.Style
}

// label writes the labels of a strip from the top down, each clear of the one
// above and tied to its place by a line; one that would stand far off is left out.
func (p *printer) label(labels []markLabel, x paint.Points) {
	sort.SliceStable(labels, func(i, j int) bool { return labels[i].at < labels[j].at })
	const leading, far = 11, 60
	free := paint.Points(0)
	for i, l := range labels {
		if i > 0 && l.text == labels[i-1].text && l.at-labels[i-1].at < 1 {
			continue // one panel ends where the next begins
		}
		y := max(l.at, free)
		if y-l.at > far {
			continue
		}
		free = y + leading
		part := p.Open(paint.ALine, -1, paint.At(x, y))
		if l.Face == paint.Plain && y != l.at {
			p.Rule(paint.At(x, l.at), paint.At(x+3, y), paint.AccentInk(), 0.4)
		}
		p.Write(l.text, paint.At(x+4, y+3), l.Style, paint.Leftward, stripGap-ruler-10)
		p.Close(part)
	}
}
