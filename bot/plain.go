package bot

import (
	"fmt"
	"strings"

	"larkfold/commands/reply"
)

// plainText is a whole reply for the attached text file.
func plainText(blocks []reply.Block) string {
	var b strings.Builder
	for _, block := range blocks {
		switch block := block.(type) {
		case reply.Heading:
			title := oneLine(string(block))
			fmt.Fprintf(&b, "%s\n%s\n", title, strings.Repeat("-", min(len([]rune(title)), 80)))
		case reply.Text:
			b.WriteString(clean(string(block)) + "\n")
		case reply.Verbatim:
			b.WriteString(clean(string(block)) + "\n")
		case reply.Facts:
			for _, f := range block {
				fmt.Fprintf(&b, "%s: %s\n", oneLine(f.Label), clean(f.Value))
			}
		case reply.Table:
			b.WriteString(strings.Join(alignedTable(block), "\n") + "\n")
		case reply.Caution:
			b.WriteString("Caution: " + clean(string(block)) + "\n")
		case reply.Picture:
			fmt.Fprintf(&b, "[picture %s: %s]\n", oneLine(block.Name), oneLine(block.Alt))
		case reply.File:
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
func overflowText(blocks []reply.Block, limit int) string {
	text := plainText(blocks)
	if len(text) <= limit {
		return text
	}
	var first, rest []reply.Block
	for _, block := range blocks {
		if _, caution := block.(reply.Caution); caution {
			first = append(first, block)
		} else {
			rest = append(rest, block)
		}
	}
	const mark = "\n(cut here: too long to attach)\n"
	text = plainText(append(first, rest...))
	return strings.ToValidUTF8(text[:max(0, limit-len(mark))], "") + mark
}
