package fit

import (
	"strings"

	"larkfold/commands/reply"
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

// Reply returns the message that shows a reply's blocks, all but a form, within
// the platform's limits. What is too long goes whole into an attached text
// file, and the message says so. Pictures are shown as far as they are drawn, by
// the places of their blocks. fileLimit is the most bytes of one file.
// The faults are for the log: things in the reply that the contract forbids.
func Reply(answer reply.Reply, drawn map[int]reply.Image, fileLimit int) (m *Message, faults []error) {
	m = newMessage()
	var notes []string

	images, note := m.attachFiles(answer.Blocks, drawn, fileLimit)
	notes = append(notes, note...)
	rows, note, faults := controls(answer.Blocks)
	m.Components = rows
	notes = append(notes, note...)

	pieces := pieces(answer.Blocks, images)
	for _, note := range notes {
		pieces = append(pieces, piece{lines: markup(note, ""), forced: true})
	}

	colour := colourAnswer
	if answer.Refused {
		colour = colourRefused
	}
	embeds, whole := packAll(pieces, colour)
	if !whole {
		embeds = packForced(pieces, colour)
		m.attach(overflowFile, []byte(overflowText(answer.Blocks, drawn, min(fileLimit, overflowBytes))), "The whole answer as plain text")
	}
	m.Embeds = embeds
	if len(m.Embeds) == 0 && len(m.Files) == 0 {
		m.Content = "Done."
	}
	return m, faults
}

// pieces turns blocks into pieces. images names the attachment of each picture that is to be shown.
func pieces(blocks []reply.Block, images map[int]string) []piece {
	var out []piece
	for i, block := range blocks {
		switch b := block.(type) {
		case reply.Heading:
			if text := strings.TrimSpace(oneLine(string(b))); text != "" {
				out = append(out, piece{lines: []string{Escape(text)}, title: true})
			}
		case reply.Text:
			out = append(out, piece{lines: markup(string(b), "")})
		case reply.Verbatim:
			out = append(out, piece{lines: fixedLines(strings.Split(clean(string(b)), "\n")), fixed: true})
		case reply.Facts:
			var lines []string
			for _, f := range b {
				before := "**" + Escape(oneLine(f.Label)) + ":** "
				if IsID(f.Channel) {
					before += "<#" + f.Channel + "> "
				}
				lines = append(lines, markup(f.Value, before)...)
			}
			out = append(out, piece{lines: lines})
		case reply.Table:
			out = append(out, piece{lines: fixedLines(narrowTable(b)), fixed: true})
		case reply.Caution:
			out = append(out, piece{lines: markup(string(b), "⚠ **Caution:** "), forced: true})
		case reply.Picture:
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
		lines[i] = Escape(lines[i])
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
		for Units(line) > longestLine {
			var head string
			head, line = split(line, longestLine)
			out = append(out, head)
		}
		out = append(out, line)
	}
	return out
}
