package commands

import (
	"bytes"
	"context"
	"fmt"
	"strings"

	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing/noun"
)

func myDataCommand() command {
	return command{Command: reply.Command{
		Name: "mydata", Description: "Everything kept about you: take it out, or have it erased",
	}, sub: []command{
		{run: exportMine, Command: reply.Command{Name: "export", Description: "Everything kept about you as one readable file", Example: "/mydata export"}},
		{run: forgetMe, Command: reply.Command{Name: "forget", Description: "Erase everything kept about you, shares included", Example: `/mydata forget confirm:"forget me"`,
			Options: []reply.Option{{Name: "confirm", Description: `type "forget me" to go ahead`}}}},
	}}
}

// exportMine hands a member everything kept about them.
func exportMine(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	var file bytes.Buffer
	if err := sit.Store.Export(ctx, req.Member, req.Now, &file); err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: []reply.Block{
		reply.Heading("Everything kept about you"),
		reply.Text("Your designs with their history, your shelf, swatches, preferences, knots, rules and shares. Lengths are in nanometres."),
		reply.File{Name: "larkfold-mydata.json", Data: file.Bytes(), Alt: "a JSON file with everything kept about you"},
		reply.Text("To have it erased:"), reply.Verbatim(`/mydata forget confirm:"forget me"`),
	}}, nil
}

// forgetPhrase is what a member types to be forgotten.
const forgetPhrase = "forget me"

// forgetMe erases everything about a member, once they have typed the phrase.
func forgetMe(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	typed := strings.Trim(strings.TrimSpace(req.Options["confirm"]), `"“”`)
	if !strings.EqualFold(typed, forgetPhrase) {
		e := &reply.UserError{Wrong: "nothing was erased; this cannot be undone, so it must be typed out", Right: "take your data out first if you want to keep it: /mydata export", Try: `/mydata forget confirm:"` + forgetPhrase + `"`}
		if typed != "" {
			e.Read = "confirm: " + typed
		}
		return reply.Reply{}, e
	}
	gone, err := sit.Store.Forget(ctx, req.Member)
	if err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: []reply.Block{
		reply.Heading("You are forgotten"),
		reply.Text(fmt.Sprintf("%s erased. I looked through the store again: nothing of you is left. Backups made before today still hold it until they are rotated out.", noun.Count(gone.Total, "record"))),
	}}, nil
}
