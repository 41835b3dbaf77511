package say

import (
	"strings"

	"larkfold/commands/picture"
	"larkfold/commands/reply"
)

// Drawn is a drawing as a block. One that cannot be rendered is said in its words.
func Drawn(d *picture.Drawing, name string) reply.Block {
	png, err := d.PNG()
	if err != nil {
		return reply.Text("The picture could not be drawn. It would show: " + d.Alt())
	}
	return reply.Picture{Name: name, PNG: png, Alt: d.Alt()}
}

// FileName is a name as a file may have it: small letters, digits and hyphens.
func FileName(name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case b.Len() >= 60:
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			b.WriteRune(r)
		case !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	if trimmed := strings.Trim(b.String(), "-"); trimmed != "" {
		return trimmed
	}
	return "hanging"
}
