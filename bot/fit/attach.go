package fit

import (
	"fmt"
	"strings"

	"larkfold/commands/reply"
)

// attachFiles attaches drawn pictures and files, leaving room for the text file. It
// returns the attachment name of every picture to be shown, by block, and notes
// about what could not be attached.
func (m *Message) attachFiles(blocks []reply.Block, drawn map[int]reply.Image, fileLimit int) (images map[int]string, notes []string) {
	images = map[int]string{}
	taken := map[string]bool{overflowFile: true}
	left := requestBytes - 2*overflowBytes // the text file and the wrapping
	var tooBig, tooMany []string
	for i, block := range blocks {
		var name, alt string
		var data []byte
		switch b := block.(type) {
		case reply.Picture:
			image, ok := drawn[i]
			if !ok {
				continue
			}
			name, alt, data = b.Name, image.Alt, image.PNG
		case reply.File:
			name, alt, data = b.Name, b.Alt, b.Data
		default:
			continue
		}
		name = attachmentName(name, taken)
		switch {
		case len(data) > fileLimit || len(data) > left:
			tooBig = append(tooBig, name)
			continue
		case len(m.Files) == filesPerMessage-1:
			tooMany = append(tooMany, name)
			continue
		}
		left -= len(data)
		if alt = strings.TrimSpace(clean(alt)); alt == "" {
			alt = name
		}
		m.attach(name, data, cut(alt, altText))
		if _, picture := block.(reply.Picture); picture && len(images) < embedPictures {
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
