package fit

import (
	"fmt"
	"slices"
	"strings"

	"larkfold/commands/reply"
)

// plainText is a whole reply for the attached text file.
func plainText(blocks []reply.Block, drawn map[int]reply.Image) string {
	var b strings.Builder
	for i, block := range blocks {
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
				fmt.Fprintf(&b, "%s: %s\n", oneLine(f.Label), strings.TrimSpace(clean(f.Channel+" "+f.Value)))
			}
		case reply.Table:
			b.WriteString(strings.Join(alignedTable(block), "\n") + "\n")
		case reply.Caution:
			b.WriteString("Caution: " + clean(string(block)) + "\n")
		case reply.Picture:
			image, ok := drawn[i]
			if !ok {
				continue
			}
			fmt.Fprintf(&b, "[picture %s: %s]\n", oneLine(block.Name), oneLine(image.Alt))
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
func overflowText(blocks []reply.Block, drawn map[int]reply.Image, limit int) string {
	text := plainText(blocks, drawn)
	if len(text) <= limit {
		return text
	}
	var first []reply.Block
	rest := slices.Clone(blocks)
	for i, block := range blocks {
		if _, caution := block.(reply.Caution); caution {
			first, rest[i] = append(first, block), nil
		}
	}
	const mark = "\n(cut here: too long to attach)\n"
	text = plainText(first, nil) + plainText(rest, drawn)
	return strings.ToValidUTF8(text[:max(0, limit-len(mark))], "") + mark
}
