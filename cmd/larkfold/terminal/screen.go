package terminal

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"regexp"
	"strings"
	"unicode"

	"larkfold/commands/lines"
	"larkfold/commands/reply"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/jedib0t/go-pretty/v6/text"
	"github.com/rivo/uniseg"
	"golang.org/x/term"
)

const pipedWidth = 80

// screen shows blocks as aligned text.
type screen struct {
	out   io.Writer
	width int
	bold  bool                                           // headings and cautions stand out; what they say never depends on it
	keep  func(name string, data []byte) (string, error) // puts a picture or file away and names it
}

// newScreen fits a screen to where its text goes.
func newScreen(out io.Writer, keep func(string, []byte) (string, error)) *screen {
	s := &screen{out: out, width: pipedWidth, keep: keep}
	file, ok := out.(*os.File)
	if !ok || !term.IsTerminal(int(file.Fd())) {
		return s
	}
	if width, _, err := term.GetSize(int(file.Fd())); err == nil && width > 0 {
		s.width = max(width, 20)
	}
	s.bold = os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
	return s
}

// show writes blocks with a blank line between them. Actions and forms are the
// session's to show.
func (s *screen) show(blocks []reply.Block) error {
	var b bytes.Buffer
	labels := labelWidth(blocks, s.width)
	for _, block := range blocks {
		part, err := s.block(block, labels)
		if err != nil {
			return err
		}
		if part == "" {
			continue
		}
		if b.Len() > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(part)
	}
	_, err := s.out.Write(b.Bytes())
	return err
}

func (s *screen) block(block reply.Block, labels int) (string, error) {
	switch b := block.(type) {
	case reply.Heading:
		return s.strong(indented(wrap(clean(string(b)), s.width), "", "")), nil
	case reply.Text:
		return indented(wrap(clean(string(b)), s.width), "", ""), nil
	case reply.Verbatim:
		return indented(strings.Split(strings.TrimRight(clean(string(b)), "\n"), "\n"), "    ", "    "), nil
	case reply.Facts:
		return s.facts(b, labels), nil
	case reply.Table:
		return s.table(b), nil
	case reply.Caution:
		return s.strong(indented(wrap("Caution: "+clean(string(b)), s.width-2), "", "  ")), nil
	case reply.Picture:
		image, err := b.Draw()
		if err != nil {
			return indented(wrap("The picture could not be drawn. It would show: "+clean(image.Alt), s.width), "", ""), nil
		}
		return s.kept("picture", b.Name, image.PNG, image.Alt)
	case reply.File:
		return s.kept("file", b.Name, b.Data, b.Alt)
	}
	return "", nil
}

// facts writes labelled values in two columns.
func (s *screen) facts(f reply.Facts, labels int) string {
	var b strings.Builder
	for _, fact := range f {
		label := clean(fact.Label)
		pad := max(0, labels-uniseg.StringWidth(label))
		lines := wrap(strings.TrimSpace(clean(fact.Channel+" "+fact.Value)), max(10, s.width-labels-2))
		b.WriteString(indented(lines, label+strings.Repeat(" ", pad)+"  ", strings.Repeat(" ", labels+2)))
	}
	return b.String()
}

// labelWidth is the width of the widest label, at most a third of the screen.
func labelWidth(blocks []reply.Block, screen int) int {
	widest := 0
	for _, block := range blocks {
		if f, ok := block.(reply.Facts); ok {
			for _, fact := range f {
				widest = max(widest, uniseg.StringWidth(clean(fact.Label)))
			}
		}
	}
	return min(widest, screen/3)
}

// table writes a table. One that is too wide has its widest left-aligned column
// wrapped.
func (s *screen) table(t reply.Table) string {
	w := table.NewWriter()
	w.SetStyle(table.Style{
		Box:     table.BoxStyle{PaddingRight: "  "},
		Format:  table.FormatOptions{Header: text.FormatDefault, Row: text.FormatDefault},
		Options: table.OptionsNoBordersAndSeparators,
	})
	widths := make([]int, len(t.Columns))
	header, titled := make(table.Row, len(t.Columns)), false
	for i, c := range t.Columns {
		header[i], titled = clean(c.Title), titled || c.Title != ""
		widths[i] = uniseg.StringWidth(c.Title)
	}
	if titled {
		w.AppendHeader(header)
	}
	for _, row := range t.Rows {
		for i, cell := range row {
			widths[i] = max(widths[i], uniseg.StringWidth(clean(cell)))
		}
	}
	wide, total := 0, 0
	for i, width := range widths {
		total += width + 2
		if !t.Columns[i].Right && width > widths[wide] || t.Columns[wide].Right {
			wide = i
		}
	}
	room := max(8, widths[wide]-max(0, total-2-s.width))
	for _, row := range t.Rows {
		cells := make(table.Row, len(row))
		for i, cell := range row {
			cells[i] = clean(cell)
			if i == wide {
				cells[i] = strings.Join(wrap(clean(cell), room), "\n")
			}
		}
		w.AppendRow(cells)
	}
	configs := make([]table.ColumnConfig, len(t.Columns))
	for i, c := range t.Columns {
		configs[i] = table.ColumnConfig{Number: i + 1}
		if c.Right {
			configs[i].Align, configs[i].AlignHeader = text.AlignRight, text.AlignRight
		}
	}
	w.SetColumnConfigs(configs)
	return indented(strings.Split(w.Render(), "\n"), "", "")
}

// kept puts a picture or a file away and says where. One that cannot be written
// takes nothing else of the answer with it.
func (s *screen) kept(kind, name string, data []byte, alt string) (string, error) {
	path, err := s.keep(name, data)
	if err != nil {
		path = "not written: " + err.Error()
	}
	return indented(wrap(fmt.Sprintf("%s: %s", kind, path), s.width), "", "") + indented(wrap(clean(alt), s.width-2), "  ", "  "), nil
}

// strong makes every line bold where that can be seen.
func (s *screen) strong(lines string) string {
	if !s.bold {
		return lines
	}
	var b strings.Builder
	for l := range strings.Lines(lines) {
		b.WriteString("\x1b[1m" + strings.TrimSuffix(l, "\n") + "\x1b[0m\n")
	}
	return b.String()
}

// indented ends every line and sets it in, the first one in its own way.
func indented(lines []string, first, others string) string {
	var b strings.Builder
	for i, l := range lines {
		lead := others
		if i == 0 {
			lead = first
		}
		b.WriteString(strings.TrimRightFunc(lead+l, unicode.IsSpace) + "\n")
	}
	return b.String()
}

var bullet = regexp.MustCompile(`^(· |[0-9]{1,2}\. )`)

// wrap breaks text into lines of at most width columns. Below a line that begins
// with a dot or a number the rest is set in.
func wrap(text string, width int) []string {
	var all []string
	for paragraph := range strings.SplitSeq(text, "\n") {
		in := strings.Repeat(" ", uniseg.StringWidth(bullet.FindString(paragraph)))
		all = append(all, lines.Break(paragraph, in, float64(width), lines.Columns)...)
	}
	return all
}

// clean takes out what could steer a terminal.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n':
			return r
		case r == '\t':
			return ' '
		case unicode.IsControl(r), r >= 0x202A && r <= 0x202E, r >= 0x2066 && r <= 0x2069:
			return unicode.ReplacementChar
		}
		return r
	}, s)
}
