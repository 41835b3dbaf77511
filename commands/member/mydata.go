package member

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"larkfold/commands/ask"
	"larkfold/commands/handler"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing/noun"
	"larkfold/store"
)

// MyDataCommand is /mydata and what stands under it; kept is for how long things are.
func MyDataCommand(kept Retention) handler.Command {
	return handler.Command{Command: reply.Command{
		Name: "mydata", Description: "Everything kept about you: take it out, or have it erased",
	}, Under: []handler.Command{
		{Run: exportMine, Command: reply.Command{Name: "export", Description: "Everything kept about you as one readable file", Example: "/mydata export",
			Options: []reply.Option{{Name: "from", Description: "the part to begin with, when there are several"}}}},
		{Run: kept.showRoom, Command: reply.Command{Name: "room", Description: "How much you keep here, for how long, and how much room is left", Example: "/mydata room"}},
		{Run: kept.forgetMe, Command: reply.Command{Name: "forget", Description: "Erase everything kept about you, shares included", Example: `/mydata forget confirm:"forget me"`,
			Options: []reply.Option{{Name: "confirm", Description: `type "forget me" to go ahead`}}}},
	}}
}

// An export comes in files of at most exportBytes, of which one answer carries so
// many: chats bound both. A member within the quota needs one.
const (
	exportBytes = 8 << 20
	exportFiles = 3
)

// exportMine hands a member everything kept about them. Who kept more than the
// quota before there was one gets several files, and asks again for those that
// one answer cannot carry.
func exportMine(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	from, err := partFrom(req.Options["from"])
	if err != nil {
		return reply.Reply{}, err
	}
	if err := reply.Turn(ctx, reply.Work{Amount: 1, Bytes: (exportFiles + 1) * exportBytes}); err != nil {
		return reply.Reply{}, err
	}
	var files []reply.Block
	parts := 0
	err = sit.Store.Export(ctx, req.Member, req.Now, exportBytes, func(file []byte) error {
		if parts++; parts >= from && len(files) < exportFiles {
			files = append(files, reply.File{Name: fmt.Sprintf("larkfold-mydata-%d.zip", parts), Data: file, Alt: "a JSON file, packed, with what is kept about you"})
		}
		return nil
	})
	var incomplete *store.Incomplete
	if err != nil && !errors.As(err, &incomplete) {
		return reply.Reply{}, err
	}
	if len(files) == 0 {
		return reply.Reply{}, &reply.UserError{Read: "from: " + req.Options["from"], Wrong: "your data has only " + noun.Count(parts, "part"), Right: "take them from the first on", Try: "/mydata export"}
	}
	blocks := []reply.Block{
		reply.Heading("Everything kept about you"),
		reply.Text("Your designs with their history, your shelf, swatches, preferences, knots, rules and shares. Lengths outside of your sheets are in millimetres."),
	}
	blocks = append(blocks, files...)
	var faults []error
	if incomplete != nil {
		faults = incomplete.Damaged
		blocks = append(blocks, reply.Text("Missing, because damage keeps it from being read: "+noun.Count(len(faults), "record")+". Whoever runs this Larkfold may have a backup of it."))
	}
	if next := from + len(files); next <= parts {
		blocks = append(blocks, reply.Text(fmt.Sprintf("This is part %d to %d of %d. For the rest:", from, next-1, parts)), reply.Verbatim(fmt.Sprintf("/mydata export from:%d", next)))
	}
	room, err := roomLeft(ctx, sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	blocks = append(blocks, room, reply.Text("To have it erased:"), reply.Verbatim(`/mydata forget confirm:"forget me"`))
	return reply.Reply{Blocks: blocks, Faults: faults}, nil
}

// partFrom is the part that an export is to begin with.
func partFrom(typed string) (int, error) {
	if typed = strings.TrimSpace(typed); typed == "" {
		return 1, nil
	}
	n, err := strconv.Atoi(typed)
	if err != nil || n < 1 {
		return 0, &reply.UserError{Read: "from: " + typed, Wrong: "parts are counted from 1", Right: "give the number of the first part that you want", Try: "/mydata export from:2"}
	}
	return n, nil
}

// roomLeft says how much a member keeps and may keep.
func roomLeft(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Block, error) {
	keep, err := sit.Store.Keep(ctx, req.Member)
	if err != nil {
		return nil, err
	}
	return reply.Facts{
		{Label: "kept", Value: Megabytes(keep.Bytes+megabyte/10-1) + " of designs, history, shelf, books and shares"},
		{Label: "room left", Value: Megabytes(keep.Left()) + " of " + Megabytes(keep.Limit)},
	}, nil
}

const megabyte = 1_000_000

// Megabytes is a size for people, to a tenth and not more than it is.
func Megabytes(bytes int64) string {
	return fmt.Sprintf("%d.%d MB", bytes/megabyte, bytes%megabyte*10/megabyte)
}

// showRoom says how much a member keeps, for how long, and how much room is left.
func (r Retention) showRoom(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	room, err := roomLeft(ctx, sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	var kept reply.Facts
	for _, k := range r.Kept() {
		kept = append(kept, reply.Fact{Label: k.What, Value: k.For})
	}
	return reply.Reply{Blocks: []reply.Block{
		room, reply.Text("Buttons and unfinished forms count apart. Deleted designs give way when room is needed."),
		reply.Heading("Kept for"), kept,
	}}, nil
}

// Retention says how long what was erased may stand in places that nobody reads.
// The zero value is a store that is looked after by hand.
type Retention struct {
	File     time.Duration // in unused parts of the store's file, which is tidied that often
	Backups  time.Duration // in backups, which give way to newer ones after that time
	Database bool          // the store is a database that looks after itself
}

// Kept is one thing that is kept about a member, and for how long.
type Kept struct{ What, For string }

// Kept says what is kept about a member and for how long: to members, and to
// whoever writes the privacy notice.
func (r Retention) Kept() []Kept {
	limits := store.DefaultLimits()
	file, backups := "until whoever runs this tidies the store", "until they are removed"
	switch {
	case r.Database:
		file = "until the database has cleaned up after itself"
	case r.File > 0:
		file = noun.Count(int(r.File.Hours()), "hour")
	}
	if r.Backups > 0 {
		backups = days(r.Backups)
	}
	return []Kept{
		{"what you save", "until you delete it or have it erased"},
		{"deleted designs", days(limits.BinLife)},
		{"what buttons act on", days(sitting.DraftLife)},
		{"that a button was pressed", days(limits.OperationLife)},
		{"traces of what was erased", file},
		{"backups", backups},
	}
}

// days is a time in days, begun ones counted whole.
func days(d time.Duration) string { return noun.Count(int((d+24*time.Hour-1)/(24*time.Hour)), "day") }

// sentences are what is true of what was erased just now.
func (r Retention) sentences() string {
	file := "Unused parts of the store's file may hold traces until whoever runs this Larkfold tidies it."
	switch {
	case r.Database:
		file = "Unused parts of the database may hold traces until it cleans up after itself, and its log as long as it is kept."
	case r.File > 0:
		file = "Unused parts of the store's file may hold traces for up to " + noun.Count(int(r.File.Hours()), "hour") + " more."
	}
	backups := "Backups made before now hold it until they are removed."
	if r.Backups > 0 {
		backups = "Backups made before now hold it until newer ones take their place, after " + days(r.Backups) + "."
	}
	return file + " " + backups
}

// forgetMe erases everything about a member, once they have typed the phrase.
func (r Retention) forgetMe(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	typed := strings.Trim(strings.TrimSpace(req.Options["confirm"]), `"“”`)
	if !strings.EqualFold(typed, ask.ForgetPhrase) {
		e := &reply.UserError{Wrong: "nothing was erased; this cannot be undone, so it must be typed out", Right: "take your data out first if you want to keep it: /mydata export", Try: `/mydata forget confirm:"` + ask.ForgetPhrase + `"`}
		if typed != "" {
			e.Read = "confirm: " + typed
		}
		return reply.Reply{}, e
	}
	gone, err := sit.Forget(ctx, req.Member)
	if err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: []reply.Block{
		reply.Heading("You are forgotten"),
		reply.Text(fmt.Sprintf("%s erased. I looked through the store again: nothing of you is left in it.\n%s", noun.Count(gone.Total, "record"), r.sentences())),
	}}, nil
}
