package paint

import (
	"strings"
	"sync"
	"unicode"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"codeberg.org/go-fonts/liberation/liberationserifbold"
	"github.com/rivo/uniseg"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/text/unicode/bidi"
	"golang.org/x/text/unicode/norm"

	"larkfold/commands/lines"
)

// Face is a typeface of the house.
type Face uint8

// The faces.
const (
	Plain Face = iota
	Bold
	Title
)

// data is the face's font file.
func (f Face) data() []byte {
	return [...][]byte{liberationsansregular.TTF, liberationsansbold.TTF, liberationserifbold.TTF}[f]
}

func (f Face) font() *sfnt.Font { return fonts()[f].font }

// typeface is a parsed font and the advances of its common signs at 1000 units.
type typeface struct {
	font     *sfnt.Font
	advances [0x500]Points // in thousandths; negative when the sign is missing
}

// fonts parses the embedded fonts once.
var fonts = sync.OnceValue(func() [3]*typeface {
	var all [3]*typeface
	for f := range Face(3) {
		parsed, err := sfnt.Parse(f.data())
		if err != nil {
			panic("an embedded font is broken: " + err.Error())
		}
		t := &typeface{font: parsed}
		var b sfnt.Buffer
		for r := range t.advances {
			t.advances[r] = advance(&b, parsed, rune(r))
		}
		all[f] = t
	}
	return all
})

// advance is how far a sign moves the pen in thousandths of the size, or -1 when
// the font does not have it.
func advance(b *sfnt.Buffer, f *sfnt.Font, r rune) Points {
	g, err := f.GlyphIndex(b, r)
	if err != nil || g == 0 {
		return -1
	}
	a, err := f.GlyphAdvance(b, g, fixed.I(1000), font.HintingNone)
	if err != nil {
		return -1
	}
	return Points(a) / 64
}

func (f Face) advance(r rune) Points {
	t := fonts()[f]
	if int(r) < len(t.advances) {
		return t.advances[r]
	}
	var b sfnt.Buffer
	return advance(&b, t.font, r)
}

// Measure is the width of a line of words.
func (f Face) Measure(text string, size Points) Points {
	sum := Points(0)
	for _, r := range text {
		sum += max(0, f.advance(r))
	}
	return sum * size / 1000
}

// The heights of all three faces over their size (from the font files).
func (f Face) ascent(size Points) Points  { return 0.74 * size }
func (f Face) descent(size Points) Points { return 0.22 * size }

// Missing stands for a sign that the fonts do not have.
const Missing = "□"

// Known replaces what the face cannot show by boxes, one for a whole sign however
// many code points it has, and tells whether there were any. Breaks become blanks.
func (f Face) Known(text string) (shown string, boxed bool) {
	var b strings.Builder
	rest, state := norm.NFC.String(strings.ToValidUTF8(text, "\uFFFD")), -1
	for rest != "" {
		var cluster string
		cluster, rest, _, state = uniseg.FirstGraphemeClusterInString(rest, state)
		keep := make([]rune, 0, 4)
		fits := true
		for _, r := range cluster {
			switch {
			case unicode.IsSpace(r) || unicode.IsControl(r):
				keep = append(keep, ' ')
			case unicode.Is(unicode.Cf, r) || r >= 0xFE00 && r <= 0xFE0F: // joiners and variant selectors show nothing
			default:
				fits = fits && r <= 0xFFFF && f.advance(r) >= 0
				keep = append(keep, r)
			}
		}
		if fits {
			b.WriteString(string(keep))
			continue
		}
		boxed = true
		b.WriteString(Missing)
	}
	return strings.Join(strings.Fields(b.String()), " "), boxed
}

// visual puts a line with words from right to left in the order it is seen in.
func visual(text string) string {
	rtl := func(r rune) bool {
		p, _ := bidi.LookupRune(r)
		return p.Class() == bidi.R || p.Class() == bidi.AL
	}
	if !strings.ContainsFunc(text, rtl) {
		return text
	}
	var p bidi.Paragraph
	if _, err := p.SetString(text); err != nil {
		return text
	}
	order, err := p.Order()
	if err != nil {
		return text
	}
	var b strings.Builder
	for i := range order.NumRuns() {
		run := order.Run(i)
		if run.Direction() == bidi.RightToLeft {
			b.WriteString(bidi.ReverseString(run.String()))
		} else {
			b.WriteString(run.String())
		}
	}
	return b.String()
}

// fit shortens a line that is wider than it may be, with an ellipsis.
func (f Face) fit(text string, size, most Points) string {
	if f.Measure(text, size) <= most {
		return text
	}
	room := most - f.Measure("…", size)
	sum, end := Points(0), 0
	for i, r := range text {
		sum += max(0, f.advance(r)) * size / 1000
		if sum > room {
			break
		}
		end = i + len(string(r))
	}
	return strings.TrimRight(text[:end], " ,:;") + "…"
}

// Wrap breaks text into lines no wider than most.
func (f Face) Wrap(text string, size, most Points) []string {
	words := strings.Join(strings.Fields(text), " ")
	if words == "" {
		return nil
	}
	return lines.Break(words, "", float64(most), func(part string) float64 { return float64(f.Measure(part, size)) })
}

// Align is where a line of words stands against its place.
type Align int

const (
	Leftward Align = iota
	Centred
	Rightward
)

// Style is how words are set.
type Style struct {
	Face Face
	Size Points
	Ink  Ink
}

// Write sets one line of words, shortened to most points (zero for any width),
// and returns how wide it is.
func (d *Drawing) Write(text string, at Point, s Style, a Align, most Points) Points {
	text, boxed := s.Face.Known(text)
	d.Boxed = d.Boxed || boxed
	if most > 0 {
		text = s.Face.fit(text, s.Size, most)
	}
	text = visual(text)
	if text == "" {
		return 0
	}
	wide := s.Face.Measure(text, s.Size)
	switch a {
	case Centred:
		at.X -= wide / 2
	case Rightward:
		at.X -= wide
	}
	d.Add(Shape{Words: Words{text, at, s.Size, s.Face, s.Ink}})
	return wide
}
