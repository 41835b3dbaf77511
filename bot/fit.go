package bot

import (
	"fmt"
	"strings"

	"github.com/bwmarrin/discordgo"

	"larkfold/commands"
)

const (
	overflowFile = "answer.txt"
	overflowNote = "The rest did not fit here: the whole answer is in the attached " + overflowFile + "."
	cautionNote  = "More cautions are in " + overflowFile + ": read them before you start."

	overflowBytes  = 1 << 20 // of the text file
	longestLine    = 1000    // longer lines are broken, so that a line always fits an embed
	longestCaution = 1200    // of one caution, when the message overflows
	cautionReserve = 5000    // of all cautions, when the message overflows
	embedPictures  = 6       // further pictures are attached without an embed of their own

	colourAnswer  = 0x7A6A53
	colourRefused = 0x9B3A3A
)

// piece is one block, ready to be packed into embeds.
type piece struct {
	lines  []string // markup, or plain lines when fixed
	fixed  bool     // a code block
	title  bool     // a heading
	forced bool     // a caution or a note of ours: never left out
	image  string   // the attachment to show; ends its embed
}

// fit returns the message that shows a reply's blocks, all but a form, within
// the platform's limits. What is too long goes whole into an attached text
// file, and the message says so. fileLimit is the most bytes of one file.
// The faults are for the log: things in the reply that the contract forbids.
func fit(reply commands.Reply, fileLimit int) (m *message, faults []error) {
	m = newMessage()
	var notes []string

	images, note := m.attachFiles(reply.Blocks, fileLimit)
	notes = append(notes, note...)
	rows, note, faults := controls(reply.Blocks)
	m.Components = rows
	notes = append(notes, note...)

	pieces := pieces(reply.Blocks, images)
	for _, note := range notes {
		pieces = append(pieces, piece{lines: markup(note, ""), forced: true})
	}

	colour := colourAnswer
	if reply.Refused {
		colour = colourRefused
	}
	embeds, whole := packAll(pieces, colour)
	if !whole {
		embeds = packForced(pieces, colour)
		m.attach(overflowFile, []byte(overflowText(reply.Blocks, min(fileLimit, overflowBytes))), "The whole answer as plain text")
	}
	m.Embeds = embeds
	if len(m.Embeds) == 0 && len(m.files) == 0 {
		m.Content = "Done."
	}
	return m, faults
}

// pieces turns blocks into pieces. images names the attachment of each picture that is to be shown.
func pieces(blocks []commands.Block, images map[int]string) []piece {
	var out []piece
	for i, block := range blocks {
		switch b := block.(type) {
		case commands.Heading:
			if text := strings.TrimSpace(oneLine(b.Text)); text != "" {
				out = append(out, piece{lines: []string{escape(text)}, title: true})
			}
		case commands.Text:
			out = append(out, piece{lines: markup(b.Text, "")})
		case commands.Verbatim:
			out = append(out, piece{lines: fixedLines(strings.Split(clean(b.Text), "\n")), fixed: true})
		case commands.Facts:
			var lines []string
			for _, f := range b.Facts {
				lines = append(lines, markup(f.Value, "**"+escape(oneLine(f.Label))+":** ")...)
			}
			out = append(out, piece{lines: lines})
		case commands.Table:
			out = append(out, piece{lines: fixedLines(narrowTable(b)), fixed: true})
		case commands.Caution:
			out = append(out, piece{lines: markup(b.Text, "⚠ **Caution:** "), forced: true})
		case commands.Picture:
			if name := images[i]; name != "" {
				out = append(out, piece{image: name})
			}
		}
	}
	return out
}

// markup escapes a plain text, line by line, and breaks lines that are too long.
func markup(text, before string) []string {
	text = strings.Trim(clean(text), "\n")
	if strings.TrimSpace(text) == "" && before == "" {
		return nil
	}
	lines := strings.Split(text, "\n")
	for i := range lines {
		lines[i] = escape(lines[i])
	}
	lines[0] = before + lines[0]
	return breakLines(lines)
}

// fixedLines makes lines safe for a code block.
func fixedLines(lines []string) []string {
	for len(lines) > 0 && strings.TrimSpace(lines[len(lines)-1]) == "" {
		lines = lines[:len(lines)-1]
	}
	for i := range lines {
		lines[i] = fenced(lines[i])
	}
	return breakLines(lines)
}

func breakLines(lines []string) []string {
	out := make([]string, 0, len(lines))
	for _, line := range lines {
		for units(line) > longestLine {
			var head string
			head, line = split(line, longestLine)
			out = append(out, head)
		}
		out = append(out, line)
	}
	return out
}

// packAll packs every piece and reports whether all of it fitted.
func packAll(pieces []piece, colour int) ([]*discordgo.MessageEmbed, bool) {
	p := packer{colour: colour}
	for _, piece := range pieces {
		if rest := p.put(piece, embedsTotal); len(rest) > 0 {
			return nil, false
		}
	}
	return p.finish(), true
}

// packForced packs what fits, keeping room for the forced pieces and the note.
func packForced(all []piece, colour int) []*discordgo.MessageEmbed {
	closing := []string{overflowNote}
	pieces := make([]piece, 0, len(all))
	reserve := 0
	for _, piece := range all {
		if piece.forced {
			piece.lines = cutLines(piece.lines, longestCaution)
			if reserve+piece.cost() > cautionReserve {
				closing = []string{cautionNote, overflowNote}
				continue
			}
			reserve += piece.cost()
		}
		pieces = append(pieces, piece)
	}
	last := piece{lines: closing, forced: true}
	reserve += last.cost()

	p := packer{colour: colour}
	overflowed := false
	for _, piece := range pieces {
		switch {
		case piece.forced:
			reserve -= piece.cost()
			p.put(piece, embedsTotal-reserve)
		case piece.image != "":
			p.put(piece, embedsTotal-reserve)
		case !overflowed:
			overflowed = len(p.put(piece, embedsTotal-reserve)) > 0
		}
	}
	p.put(last, embedsTotal)
	return p.finish()
}

// cutLines keeps at most limit units of lines and says where the rest is.
func cutLines(lines []string, limit int) []string {
	n := 0
	for i, line := range lines {
		n += units(line) + 1
		if n > limit {
			return append(lines[:i:i], "… (goes on in "+overflowFile+")")
		}
	}
	return lines
}

// cost is the most that packing the whole piece can use.
func (p piece) cost() int {
	n := 2 // a gap, and a line end
	for _, line := range p.lines {
		n += units(line) + 1
	}
	return n
}

// packer fills embeds in order.
type packer struct {
	colour int
	embeds []*discordgo.MessageEmbed
	open   *discordgo.MessageEmbed // nil when the next piece starts an embed
	lines  []string                // of the open embed's description
	length int                     // of the open embed's description, with its closing fence
	fence  bool                    // the open embed's last lines are in a code block
	tight  bool                    // no gap before the next piece
	used   int                     // of the total of all embeds
}

const fenceCost = 8 // both fences with their line ends

// put adds a piece as long as the total of all embeds stays within budget, and
// returns the lines that are left.
func (p *packer) put(piece piece, budget int) []string {
	if piece.image != "" {
		if p.open == nil && !p.start() {
			return nil // still shown, as an attachment
		}
		p.open.Image = &discordgo.MessageEmbedImage{URL: "attachment://" + piece.image}
		p.close()
		return nil
	}
	if piece.title && (p.open == nil || len(p.lines) == 0 && p.open.Title == "") {
		title := cut(piece.lines[0], embedTitle)
		if p.used+units(title) > budget || p.open == nil && !p.start() {
			return piece.lines
		}
		p.open.Title = title
		p.used += units(title)
		p.tight = true
		return nil
	}
	lines := piece.lines
	if piece.title {
		lines = []string{"**" + cut(lines[0], longestLine-4) + "**"}
	}
	gap := len(lines) > 0
	for i, line := range lines {
		if !p.line(line, piece.fixed, gap && i == 0, budget) {
			return lines[i:]
		}
	}
	if len(lines) > 0 {
		p.tight = piece.title || piece.fixed
	}
	return nil
}

// line adds one line and reports whether there was room.
func (p *packer) line(line string, fixed, gap bool, budget int) bool {
	if p.open == nil && !p.start() {
		return false
	}
	cost := func() int {
		n := units(line) + 1
		if fixed && !p.fence {
			n += fenceCost
		}
		if gap && len(p.lines) > 0 && !p.tight && !fixed {
			n++
		}
		return n
	}
	if p.length+cost() > embedDescription {
		if !p.start() {
			return false
		}
	}
	n := cost()
	if p.used+n > budget {
		return false
	}
	if p.fence && !fixed {
		p.endFence()
	}
	if gap && len(p.lines) > 0 && !p.tight && !fixed {
		p.lines = append(p.lines, "")
	}
	if fixed && !p.fence {
		p.lines = append(p.lines, "```")
		p.fence = true
	}
	p.lines = append(p.lines, line)
	p.length += n
	p.used += n
	p.tight = false
	return true
}

func (p *packer) endFence() {
	p.lines = append(p.lines, "```")
	p.fence = false
}

// start closes the open embed and opens another, if there may be one more.
func (p *packer) start() bool {
	p.close()
	if len(p.embeds) == embedsPerMessage {
		return false
	}
	p.open = &discordgo.MessageEmbed{Color: p.colour}
	return true
}

// close keeps the open embed if anything is in it.
func (p *packer) close() {
	if p.open == nil {
		return
	}
	if p.fence {
		p.endFence()
	}
	p.open.Description = strings.TrimSpace(strings.Join(p.lines, "\n"))
	if p.open.Description != "" || p.open.Title != "" || p.open.Image != nil {
		p.embeds = append(p.embeds, p.open)
	}
	p.open, p.lines, p.length, p.tight = nil, nil, 0, false
}

func (p *packer) finish() []*discordgo.MessageEmbed {
	p.close()
	if p.embeds == nil {
		return []*discordgo.MessageEmbed{}
	}
	return p.embeds
}

// attachFiles attaches pictures and files, leaving room for the text file. It
// returns the attachment name of every picture to be shown, by block, and notes
// about what could not be attached.
func (m *message) attachFiles(blocks []commands.Block, fileLimit int) (images map[int]string, notes []string) {
	images = map[int]string{}
	taken := map[string]bool{overflowFile: true}
	left := requestBytes - 2*overflowBytes // the text file and the wrapping
	var tooBig, tooMany []string
	for i, block := range blocks {
		var name, alt string
		var data []byte
		switch b := block.(type) {
		case commands.Picture:
			name, alt, data = b.Name, b.Alt, b.PNG
		case commands.File:
			name, alt, data = b.Name, b.Alt, b.Data
		default:
			continue
		}
		name = attachmentName(name, taken)
		switch {
		case len(data) > fileLimit || len(data) > left:
			tooBig = append(tooBig, name)
			continue
		case len(m.files) == filesPerMessage-1:
			tooMany = append(tooMany, name)
			continue
		}
		left -= len(data)
		if alt = strings.TrimSpace(clean(alt)); alt == "" {
			alt = name
		}
		m.attach(name, data, cut(alt, altText))
		if _, picture := block.(commands.Picture); picture && len(images) < embedPictures {
			images[i] = name
		}
	}
	if len(tooBig) > 0 {
		notes = append(notes, cut("Too big to attach here: "+strings.Join(tooBig, ", "), longestCaution/2))
	}
	if len(tooMany) > 0 {
		notes = append(notes, cut("Too many files to attach them all; left out: "+strings.Join(tooMany, ", "), longestCaution/2))
	}
	return images, notes
}

// attachmentName makes a file name that an embed can refer to and that is not taken.
func attachmentName(name string, taken map[string]bool) string {
	name = strings.Trim(strings.Map(func(r rune) rune {
		switch {
		case 'a' <= r && r <= 'z', 'A' <= r && r <= 'Z', '0' <= r && r <= '9', r == '.', r == '_', r == '-':
			return r
		}
		return '-'
	}, name), ".")
	if len(name) > 80 {
		name = name[len(name)-80:]
	}
	if name == "" {
		name = "file"
	}
	unique := name
	for n := 2; taken[unique]; n++ {
		unique = fmt.Sprintf("%d-%s", n, name)
	}
	taken[unique] = true
	return unique
}

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
