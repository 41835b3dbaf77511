package fit

import (
	"strings"

	"larkfold/commands/lines"
	"larkfold/commands/reply"

	"github.com/rivo/uniseg"
)

// narrow is the widest line, in columns, that a phone shows unbroken in a code
// block inside an embed. Estimated from a 360 dp screen; there is no official width.
const narrow = 26

// narrowTable returns a table as lines of at most 26 columns: its short lines
// if it has them, its columns if they fit, else every row as a small list.
func narrowTable(t reply.Table) []string {
	if len(t.Short) > 0 {
		var short []string
		for _, line := range t.Short {
			short = append(short, broken(strings.TrimRight(clean(line), " \n"))...)
		}
		return short
	}
	if lines := alignedTable(t); widest(lines) <= narrow {
		return lines
	}
	var lines []string
	for i, row := range t.Rows {
		if i > 0 {
			lines = append(lines, "")
		}
		for j, cell := range row {
			if cell == "" {
				continue
			}
			if j < len(t.Columns) && t.Columns[j].Title != "" {
				cell = t.Columns[j].Title + ": " + cell
			}
			lines = append(lines, broken(oneLine(cell))...)
		}
	}
	return lines
}

// alignedTable returns a table in columns as wide as they need.
func alignedTable(t reply.Table) []string {
	titles := make([]string, len(t.Columns))
	titled := false
	for i, c := range t.Columns {
		titles[i] = c.Title
		titled = titled || c.Title != ""
	}
	rows := t.Rows
	if titled {
		rows = append([][]string{titles}, rows...)
	}
	var widths []int
	for _, row := range rows {
		for i, cell := range row {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], uniseg.StringWidth(oneLine(cell)))
		}
	}
	lines := make([]string, 0, len(rows))
	for _, row := range rows {
		var b strings.Builder
		for i, cell := range row {
			cell = oneLine(cell)
			if i > 0 {
				b.WriteString("  ")
			}
			pad := strings.Repeat(" ", widths[i]-uniseg.StringWidth(cell))
			if i < len(t.Columns) && t.Columns[i].Right {
				b.WriteString(pad + cell)
			} else {
				b.WriteString(cell + pad)
			}
		}
		lines = append(lines, strings.TrimRight(b.String(), " "))
	}
	return lines
}

func oneLine(cell string) string { return strings.ReplaceAll(clean(cell), "\n", " ") }

func widest(lines []string) int {
	most := 0
	for _, line := range lines {
		most = max(most, uniseg.StringWidth(line))
	}
	return most
}

// broken is a line as lines that a phone shows whole; those after the first stand
// two columns in.
func broken(line string) []string { return lines.Break(line, "  ", narrow, lines.Columns) }
