package ask

import (
	"strings"

	"larkfold/commands/reply"
	"larkfold/sizing/knot"
)

// Knot finds a knot by name.
func Knot(req reply.Request, option string, book *knot.Book, name string) (*knot.Knot, error) {
	if k, ok := book.Knot(name); ok {
		return k, nil
	}
	e := &reply.UserError{Read: option + ": " + name, Wrong: "the knot book has no such knot", Right: "/knots list shows them all", Try: "/knots list"}
	if near := book.Nearest(name); len(near) > 0 {
		e.Right, e.Try = "did you mean "+strings.Join(near, " or ")+"?", req.Retype(map[string]string{option: near[0]}, "")
	}
	return nil, e
}
