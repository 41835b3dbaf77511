package takeup

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"larkfold/commands/handler"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/commands/slip"
	"larkfold/sizing/formula"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/store"
)

// knotText is a knot as a member writes it down.
type knotText struct {
	Name   string `json:"name"`
	Ends   string `json:"ends"`  // roles from left to right: "worker, filler..., worker"
	Roles  string `json:"roles"` // a line each: "worker ties: turn(k) + pitch + 5*d"
	Pitch  string `json:"pitch,omitempty"`
	Height string `json:"height"`
	Width  string `json:"width"`
	How    string `json:"how"` // a step a line
	Source string `json:"source"`
}

// sampleKnot is what the form starts with: our own invention, two square knots
// with a short gap between them.
var sampleKnot = knotText{
	Ends:   "worker, filler..., worker",
	Roles:  "worker ties: 2*(turn(k) + 4*d + 1.5*pi*d) + 2*d\nfiller runs: pitch",
	Pitch:  "10*d",
	Height: "pitch",
	Width:  "3.35*d + 1.226*bundle(k)",
	How:    "Tie a square knot.\nTie another two cord widths below it.",
	Source: "measured by us: ten knots in 4 mm cord",
}

func knotOptions() []reply.Option {
	return []reply.Option{
		{Name: "name", Description: "of the new knot", Required: true},
		{Name: "places", Description: "its roles from left to right: worker, filler..., worker; a form opens if left out"},
		{Name: "roles", Description: "what each takes: worker ties: turn(k) + pitch + 5*d; filler runs: pitch"},
		{Name: "pitch", Description: "advance from one knot to the next, such as 4*d; the height if left out"},
		{Name: "height", Description: "what it adds to the work, such as 4*d"},
		{Name: "across", Description: "what it takes across, such as 6*d"},
		{Name: "how", Description: "how to tie it, steps parted by semicolons"},
		{Name: "source", Description: "who measured it, or where it comes from"},
	}
}

// addKnot adds a knot that was typed whole, or opens the form.
func addKnot(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	if err := mayManage(req, "knots", "/knots list"); err != nil {
		return reply.Reply{}, err
	}
	option := func(name string) string { return strings.TrimSpace(req.Options[name]) }
	text := knotText{
		Name: option("name"), Ends: option("places"), Roles: option("roles"), Pitch: option("pitch"),
		Height: option("height"), Width: option("across"), How: option("how"), Source: option("source"),
	}
	if text.Ends == "" && text.Roles == "" {
		if err := knotNameFree(sit, text.Name, false); err != nil {
			return reply.Reply{}, err
		}
		start := sampleKnot
		start.Name = text.Name
		return openKnotForm(ctx, sit, req, start)
	}
	return saveKnot(ctx, sit, req, text)
}

// knotNameFree refuses a name that the book has, or that no sheet could hold. A
// community's knot of just that name is left to the store when saving, which
// knows a request that comes twice.
func knotNameFree(sit sitting.Sitting, name string, saving bool) error {
	book, err := sit.Book()
	if err != nil {
		return err
	}
	k, taken := book.Knot(name)
	_, standard := sit.Standard.Knot(name)
	switch {
	case standard:
		return &reply.UserError{Read: "name: " + name, Wrong: "that is a name of the " + k.Name + " in the book", Right: "choose another name", Try: "/knots show name:" + reply.QuotedIfSpaced(k.Name)}
	case taken && !(saving && strings.EqualFold(k.Name, name)):
		return &reply.UserError{Read: "name: " + name, Wrong: "this community has a knot of that name: the " + k.Name, Right: "choose another name, or remove that one first", Try: "/knots remove name:" + reply.QuotedIfSpaced(k.Name)}
	}
	if err := sheet.CheckKnotName(name); err != nil {
		return &reply.UserError{Read: "name: " + name, Wrong: err.Error(), Right: "choose a name that a sheet can hold", Try: `/knots add name:"Pebble Knot"`, Cause: err}
	}
	return nil
}

func openKnotForm(ctx context.Context, sit sitting.Sitting, req reply.Request, text knotText) (reply.Reply, error) {
	key, err := sit.Keep(ctx, req, "knot", text)
	if err != nil {
		return reply.Reply{}, err
	}
	return knotForm(text, reply.Do("knot.write", key, req.ID)), nil
}

func knotForm(t knotText, action reply.Action) reply.Reply {
	size := "height: " + t.Height + "\nwidth: " + t.Width
	if t.Pitch != "" {
		size = "pitch: " + t.Pitch + "\n" + size
	}
	return reply.Reply{Blocks: []reply.Block{reply.Form{
		Title: "New knot: " + t.Name, Do: action,
		Fields: []reply.Field{
			{Name: "ends", Label: "Ends from left to right", Placeholder: sampleKnot.Ends, Value: t.Ends, Required: true, MaxLength: 300},
			{Name: "roles", Label: "What each role takes: ties or runs", Placeholder: "worker ties: turn(k) + pitch + 5*d", Value: t.Roles, Long: true, Required: true, MaxLength: 1000},
			{Name: "size", Label: "Pitch, height and width", Placeholder: "height: 4*d", Value: size, Long: true, Required: true, MaxLength: 600},
			{Name: "how", Label: "How to tie it, a step a line", Placeholder: "Take the left outer end across the front.", Value: t.How, Long: true, MaxLength: 1500},
			{Name: "source", Label: "Who measured it, or where it comes from", Placeholder: sampleKnot.Source, Value: t.Source, Required: true, MaxLength: 200},
		},
	}}}
}

// writeKnot is a filled form.
func writeKnot(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	if err := mayManage(req, "knots", "/knots list"); err != nil {
		return reply.Reply{}, err
	}
	var text knotText
	if err := sit.Kept("knot", &text); err != nil {
		return reply.Reply{}, err
	}
	text.Ends, text.Roles, text.How, text.Source = req.Fields["ends"], req.Fields["roles"], req.Fields["how"], req.Fields["source"]
	text.Pitch, text.Height, text.Width = "", "", ""
	for _, line := range splitLines(req.Fields["size"]) {
		part, value, _ := strings.Cut(line, ":")
		value = strings.TrimSpace(value)
		switch strings.ToLower(strings.TrimSpace(part)) {
		case "pitch":
			text.Pitch = value
		case "height":
			text.Height = value
		case "width":
			text.Width = value
		default:
			text.Height = line // shown back, with what is wrong
		}
	}
	return saveKnot(ctx, sit, req, text)
}

// mendKnot opens the form again with what was written.
func mendKnot(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	var text knotText
	if err := sit.Kept("knot", &text); err != nil {
		return reply.Reply{}, err
	}
	return knotForm(text, reply.Do("knot.write", req.Action.Key, req.ID)), nil
}

// saveKnot checks a knot that was written down and adds it to the community's
// book. What is wrong with it comes back with the text kept.
func saveKnot(ctx context.Context, sit sitting.Sitting, req reply.Request, text knotText) (reply.Reply, error) {
	if err := knotNameFree(sit, text.Name, true); err != nil {
		return reply.Reply{}, err
	}
	row, err := text.row()
	if err == nil {
		err = tryKnot(row)
	}
	if err != nil {
		return faultyKnot(ctx, sit, req, text, err)
	}
	data, err := json.Marshal(row)
	if err != nil {
		return reply.Reply{}, err
	}
	sit, err = sit.Change(ctx, req, func(tx *store.Tx) error {
		_, err := tx.SaveCommunityEntry(req.Community, store.KindKnot, store.Entry{Name: row.Name, Data: data}, 0)
		return err
	})
	var taken *store.NameTaken
	if errors.As(err, &taken) {
		return faultyKnot(ctx, sit, req, text, &reply.UserError{Read: "name: " + row.Name, Wrong: "this community has a knot of that name by now", Right: "remove that one first, or add this one under another name", Cause: err})
	}
	if err != nil {
		return reply.Reply{}, err
	}
	show := reply.Request{Command: "knots show", Options: map[string]string{"name": row.Name}, ID: req.ID, Member: req.Member, Community: req.Community, Now: req.Now}
	answer, err := showKnot(ctx, sit, show)
	if err != nil {
		return reply.Reply{}, err
	}
	answer.Blocks = append([]reply.Block{reply.Text("Added to this community's knot book. Its sheets can name it from now on:"), reply.Verbatim("sinnet " + row.Name + " times 10"), reply.Text("and this tells what it takes up:"), reply.Verbatim("/cut finished:50cm knot:" + reply.QuotedIfSpaced(row.Name))}, answer.Blocks...)
	return answer, nil
}

// faultyKnot says what is wrong with a knot; nothing of it is lost.
func faultyKnot(ctx context.Context, sit sitting.Sitting, req reply.Request, text knotText, wrong error) (reply.Reply, error) {
	key, err := sit.Keep(ctx, req, "knot", text)
	if err != nil {
		return reply.Reply{}, err
	}
	blocks := []reply.Block{reply.Heading("Not added yet: " + say.Shortened(text.Name, slip.MostRead))}
	var user *reply.UserError
	var fault *formula.Fault
	switch {
	case errors.As(wrong, &fault):
		blocks = append(blocks, reply.Facts{{Label: "read", Value: fault.Source}, {Label: "wrong", Value: fault.Wrong}, {Label: "right", Value: fault.Right}}, reply.Verbatim(fault.Picture()))
	case errors.As(wrong, &user):
		blocks = append(blocks, reply.Facts{{Label: "read", Value: user.Read}, {Label: "wrong", Value: user.Wrong}, {Label: "right", Value: user.Right}})
	default:
		return reply.Reply{}, wrong
	}
	return reply.Refused(append(blocks, reply.Text("What you wrote is kept:"), reply.Verbatim(text.command()), reply.Actions{Buttons: []reply.Button{{Label: "mend it", Do: reply.Do("knot.mend", key, ""), Main: true}}})...), nil
}

// roleLine is one role: its name, whether it ties the knot, what it takes.
var roleLine = regexp.MustCompile(`(?i)^(.+?)\s+(ties|runs)\s*[:=]\s*(.+)$`)

// row reads a knot that was written down. The error is a *UserError.
func (t knotText) row() (knot.Row, error) {
	r := knot.Row{
		Name: strings.Join(strings.Fields(t.Name), " "), Shape: knot.Group, About: "Added by this community.",
		Pitch: t.Pitch, Height: t.Height, Width: t.Width, HowTo: splitLines(t.How), Source: strings.TrimSpace(t.Source), Trust: knot.Low,
	}
	if r.Source == "" {
		r.Source = "measured by a member of this community"
	}
	ties := false
	for _, line := range splitLines(t.Roles) {
		m := roleLine.FindStringSubmatch(line)
		if m == nil {
			return r, &reply.UserError{Read: line, Wrong: "that is not a role", Right: "a name, then ties (it ties the knot) or runs (the knot closes round it), a colon and a formula: worker ties: turn(k) + pitch + 5*d"}
		}
		role := knot.Role{Name: strings.ToLower(m[1]), Works: strings.EqualFold(m[2], "ties"), Takes: m[3]}
		ties = ties || role.Works
		r.Roles = append(r.Roles, role)
	}
	if !ties {
		return r, &reply.UserError{Read: strings.TrimSpace("roles: " + oneLine(t.Roles)), Wrong: "no role ties the knot", Right: "at least one, as in worker ties: turn(k) + pitch + 5*d"}
	}
	for _, place := range strings.FieldsFunc(t.Ends, func(c rune) bool { return c == ',' || c == '\n' || c == ';' }) {
		if place = strings.ToLower(strings.TrimSpace(place)); place != "" {
			r.Places = append(r.Places, strings.Replace(place, "…", "...", 1))
		}
	}
	if err := placesFit(r); err != nil {
		return r, err
	}
	r.Ends, r.Fewest, r.Most = len(r.Places), len(r.Places), len(r.Places)
	if strings.Contains(strings.Join(r.Places, " "), "...") {
		r.Ends, r.Most = r.Fewest+r.Fewest%2, 40 // folded cords give ends in pairs
	}
	for _, part := range []struct{ name, formula string }{{"height", r.Height}, {"width", r.Width}} {
		if strings.TrimSpace(part.formula) == "" {
			return r, &reply.UserError{Read: part.name + ":", Wrong: "it has no " + part.name, Right: "a formula, such as " + part.name + ": 4*d"}
		}
	}
	if r.Pitch == "" {
		r.Pitch = r.Height
	}
	return r, nil
}

// placesFit refuses ends that name no role, and roles that no end has.
func placesFit(r knot.Row) error {
	var names []string
	for _, role := range r.Roles {
		if slices.Contains(names, role.Name) {
			return &reply.UserError{Read: role.Name, Wrong: "two roles have that name", Right: "one line for each role"}
		}
		names = append(names, role.Name)
	}
	used, fills := map[string]bool{}, 0
	for _, place := range r.Places {
		name, open := strings.CutSuffix(place, "...")
		if open {
			fills++
		}
		used[name] = true
		if !slices.Contains(names, name) {
			return &reply.UserError{Read: place, Wrong: "that is not a role of this knot", Right: "the ends name the roles from left to right: " + strings.Join(names, ", ")}
		}
	}
	for _, name := range names {
		if !used[name] {
			return &reply.UserError{Read: strings.Join(r.Places, ", "), Wrong: "no end is the " + name, Right: "name every role once at least, as in " + sampleKnot.Ends}
		}
	}
	if fills > 1 {
		return &reply.UserError{Read: strings.Join(r.Places, ", "), Wrong: "two places fill the group", Right: "let one end in ..., as in " + sampleKnot.Ends}
	}
	return nil
}

// tryKnot compiles a row and sizes it in thin and thick cord: no end can take less
// than the knot is tall, for take-up includes the advance.
func tryKnot(row knot.Row) error {
	k, err := knot.Compile(row)
	var fault *formula.Fault
	if errors.As(err, &fault) {
		return fault
	}
	if err != nil {
		return &reply.UserError{Read: row.Name, Wrong: err.Error(), Right: "see how the book writes its own with /knots show"}
	}
	for _, d := range []length.Length{2 * length.Millimetre, 6 * length.Millimetre} {
		size, err := k.Size(knot.Gauge{Diameter: d, Ends: row.Ends})
		if errors.As(err, &fault) {
			return fault
		}
		if err != nil {
			return err
		}
		for i, role := range row.Roles {
			if size.Takes[i] < size.Height {
				return &reply.UserError{
					Read:  fmt.Sprintf("%s: %s", role.Name, role.Takes),
					Wrong: fmt.Sprintf("in cord of %s that is %s, less than the knot is tall (%s)", length.FormatMetric(d, 0), length.FormatMetric(size.Takes[i], 0), length.FormatMetric(size.Height, 0)),
					Right: "what an end takes includes its way down through the knot: at least the height",
				}
			}
		}
	}
	return nil
}

// textOf writes a row down again.
func textOf(r knot.Row) knotText {
	t := knotText{Name: r.Name, Ends: strings.Join(r.Places, ", "), Pitch: r.Pitch, Height: r.Height, Width: r.Width, How: strings.Join(r.HowTo, "\n"), Source: r.Source}
	var roles []string
	for _, role := range r.Roles {
		verb := "runs"
		if role.Works {
			verb = "ties"
		}
		roles = append(roles, role.Name+" "+verb+": "+role.Takes)
	}
	t.Roles = strings.Join(roles, "\n")
	return t
}

// command is the line that adds the knot.
func (t knotText) command() string {
	var b strings.Builder
	b.WriteString("/knots add")
	for _, o := range []reply.Fact{{Label: "name", Value: t.Name}, {Label: "places", Value: t.Ends}, {Label: "roles", Value: t.Roles}, {Label: "pitch", Value: t.Pitch}, {Label: "height", Value: t.Height}, {Label: "across", Value: t.Width}, {Label: "how", Value: t.How}, {Label: "source", Value: t.Source}} {
		if value := oneLine(o.Value); value != "" {
			fmt.Fprintf(&b, " %s:%s", o.Label, reply.QuotedIfSpaced(value))
		}
	}
	return b.String()
}

// splitLines parts a text at line ends and semicolons, without empty lines.
func splitLines(text string) []string {
	var lines []string
	for _, line := range strings.FieldsFunc(text, func(c rune) bool { return c == '\n' || c == '\r' || c == ';' }) {
		if line = strings.TrimSpace(line); line != "" {
			lines = append(lines, line)
		}
	}
	return lines
}

// oneLine writes lines behind each other, parted by semicolons.
func oneLine(text string) string { return strings.Join(splitLines(text), "; ") }

// Pressed is what the buttons, menus and forms of this room do, by the names of their actions.
func Pressed() map[string]handler.Command {
	return map[string]handler.Command{
		"knot.write": {Run: writeKnot, Reads: sitting.Draft | sitting.Sheets},
		"knot.mend":  {Run: mendKnot, Reads: sitting.Draft},
	}
}
