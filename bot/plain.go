package bot

import (
	"fmt"
	"strings"

	"larkfold/commands"
)

// plainText is a whole reply for the attached text file.
func plainText(blocks []commands.Block) string {
	var b strings.Builder
	for _, block := range blocks {
		switch block := block.(type) {
		case commands.Heading:
			title := oneLine(block.Text)
			fmt.Fprintf(&b, "%s\n%s\n", title, strings.Repeat("-", min(len([]rune(title)), 80)))
		case commands.Text:
			b.WriteString(clean(block.Text) + "\n")
		case commands.Verbatim:
			b.WriteString(clean(block.Text) + "\n")
		case commands.Facts:
			for _, f := range block.Facts {
				fmt.Fprintf(&b, "%s: %s\n", oneLine(f.Label), clean(f.Value))
			}
		case commands.Table:
			b.WriteString(strings.Join(alignedTable(block), "\n") + "\n")
		case commands.Caution:
			b.WriteString("Caution: " + clean(block.Text) + "\n")
		case commands.Picture:
			fmt.Fprintf(&b, "[picture %s: %s]\n", oneLine(block.Name), oneLine(block.Alt))
		case commands.File:
			fmt.Fprintf(&b, "[file %s]\n", oneLine(block.Name))
		default:
			continue
		}
		b.WriteString("\n")
	}
	return b.String()
}

// overflowText is the whole reply in at most limit bytes. If it must be cut,
// cautions come first.
func overflowText(blocks []commands.Block, limit int) string {
	text := plainText(blocks)
	if len(text) <= limit {
		return text
	}
	var first, rest []commands.Block
	for _, block := range blocks {
		if _, caution := block.(commands.Caution); caution {
			first = append(first, block)
		} else {
			rest = append(rest, block)
		}
	}
	const mark = "\n(cut here: too long to attach)\n"
	text = plainText(append(first, rest...))
	return strings.ToValidUTF8(text[:max(0, limit-len(mark))], "") + mark
}
