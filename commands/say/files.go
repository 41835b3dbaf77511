package say

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"strings"

	"larkfold/commands/picture/drawn"
	"larkfold/commands/picture/paint"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
)

// Drawn is a picture as a block, drawn when it is to be shown. Its key is made from
// what it shows, which is all that draw depends on.
func Drawn(name string, draw func() *paint.Drawing, shows ...any) reply.Picture {
	p := reply.Picture{Name: name, Size: held, Draw: func() (reply.Image, error) {
		d := draw()
		png, err := d.PNG()
		return reply.Image{PNG: png, Alt: d.Alt()}, err
	}}
	hash := sha256.New()
	if err := json.NewEncoder(hash).Encode(shows); err == nil {
		p.Key = string(hash.Sum(nil))
	}
	return p
}

// held is about how many bytes an answer holds for a picture, and heldByKnot for
// each knot of a sized sheet besides.
const (
	held       = 32 << 10
	heldByKnot = 400
)

// ofSized is a picture of a sized sheet. The sheet, its cords and the knots that it ties
// settle where everything lies; panels and cuts are what hands and habits made of it.
// Of a piece with too many knots to be drawn one by one no more is held than the
// strokes of its outline.
func ofSized(what, name string, sized sizing.Sized, p sitting.Prefs, draw func() *paint.Drawing) reply.Picture {
	cords := fmt.Sprintf("%+v", sized.Cords)
	large := len(sized.Placed) > drawn.MostKnots
	if large {
		outline := draw()
		draw = func() *paint.Drawing { return outline }
	}
	drawn := Drawn(name, draw, what, p.Style, sheet.Format(sized.Sheet), cords, tied(sized), len(sized.Placed), len(sized.Extras), sized.Panels, sized.List)
	if !large {
		drawn.Size += heldByKnot * len(sized.Placed)
	}
	return drawn
}

// tied are the rows of the knots that a sized sheet ties, each once.
func tied(sized sizing.Sized) []knot.Row {
	var rows []knot.Row
	seen := map[*knot.Knot]bool{}
	for i := range sized.Placed {
		if k := sized.Placed[i].Knot; !seen[k] {
			seen[k] = true
			rows = append(rows, k.Row)
		}
	}
	return rows
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
