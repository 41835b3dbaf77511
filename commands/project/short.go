package project

import (
	"larkfold/commands/ask"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/length"
)

// shortOf says what to do with cords of one line of the cut list that are too short.
func shortOf(sized sizing.Sized, q *ask.Options, p sitting.Prefs) (reply.Reply, error) {
	if !q.Has("short") || !q.Has("by") {
		have, missing := "short", map[string]string{"by": "20cm"}
		if !q.Has("short") {
			have, missing = "by", map[string]string{"short": "A"}
		}
		return reply.Reply{}, &reply.UserError{Read: have + ": " + q.Text(have), Wrong: "it says only one of which line of the cut list is short, and by how much", Right: "give both", Try: q.Request.Retype(missing, "")}
	}
	c, err := say.Line(sized, q.Text("short"))
	if err != nil {
		return reply.Reply{}, err
	}
	by := q.Length("by", ask.Bounds("missing length", length.Millimetre, c.Length, "20 cm or 8 in"), 0)
	if q.Err != nil {
		return reply.Reply{}, q.Err
	}
	return say.Short(sized, p, c, by), nil
}
