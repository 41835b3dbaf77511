package fit

import (
	"strings"

	"github.com/bwmarrin/discordgo"
)

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
		case piece.forced: // into the room that was kept for it
			reserve -= piece.cost()
			p.put(piece, embedsTotal)
		case piece.image != "": // which takes no room
			p.put(piece, embedsTotal)
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
		n += Units(line) + 1
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
		n += Units(line) + 1
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
	if piece.title && p.open == nil {
		title := cut(piece.lines[0], embedTitle)
		if p.used+Units(title) > budget || !p.start() {
			return piece.lines
		}
		p.open.Title = title
		p.used += Units(title)
		p.tight = true
		return nil
	}
	lines := piece.lines
	if piece.title {
		lines = []string{"**" + cut(lines[0], longestLine-4) + "**"}
	}
	for i, line := range lines {
		if !p.line(line, piece.fixed, i == 0, budget) {
			return lines[i:]
		}
	}
	if len(lines) > 0 {
		p.tight = piece.title || piece.fixed
	}
	return nil
}

// line adds one line and reports whether there was room. The first line of a piece
// stands apart from the piece before it.
func (p *packer) line(line string, fixed, first bool, budget int) bool {
	if p.open == nil && !p.start() {
		return false
	}
	apart := func() bool { return first && len(p.lines) > 0 && !p.tight && !fixed }
	cost := func() int {
		n := Units(line) + 1
		if fixed && !p.fence {
			n += fenceCost
		}
		if apart() {
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
	if apart() {
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
