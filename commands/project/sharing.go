package project

import (
	"context"
	"slices"

	"larkfold/commands/handler"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/store"
)

// SharingCommand is /sharing and what stands under it.
func SharingCommand() handler.Command {
	return handler.Command{Command: reply.Command{
		Name: "sharing", Description: "Where members of this server may share designs",
	}, Under: []handler.Command{
		{Run: shareHere, Reads: sitting.Settings, Command: reply.Command{Name: "here", Description: "Let members share in this channel (and others so chosen) only", Example: "/sharing here", ManageOnly: true}},
		{Run: shareAnywhere, Reads: sitting.Settings, Command: reply.Command{Name: "anywhere", Description: "Let members share in every channel again", Example: "/sharing anywhere", ManageOnly: true}},
		{Run: listSharing, Reads: sitting.Settings, Command: reply.Command{Name: "list", Description: "Where members may share", Example: "/sharing list"}},
	}}
}

// changeSharing changes where members may share.
func changeSharing(ctx context.Context, sit sitting.Sitting, req reply.Request, change func(channels []string) []string) (reply.Reply, error) {
	switch {
	case req.Community == "":
		return reply.Reply{}, &reply.UserError{Wrong: "there are no channels here", Right: "use it in a server that you look after"}
	case !req.CanManage:
		return reply.Reply{}, &reply.UserError{Wrong: "only those who may manage this server can choose where designs are shared", Right: "ask one of its moderators"}
	}
	sit, err := sit.Change(ctx, req, func(tx *store.Tx) error {
		settings, err := tx.Settings(req.Community)
		if err != nil {
			return err
		}
		before := settings.Revision
		settings.Channels = change(settings.Channels)
		_, err = tx.SaveSettings(req.Community, settings, before)
		return err
	})
	if err != nil {
		return reply.Reply{}, err
	}
	return listSharing(ctx, sit, req)
}

func shareHere(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	return changeSharing(ctx, sit, req, func(channels []string) []string {
		if slices.Contains(channels, req.Channel) {
			return channels
		}
		return append(channels, req.Channel)
	})
}

func shareAnywhere(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	return changeSharing(ctx, sit, req, func([]string) []string { return nil })
}

func listSharing(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	if req.Community == "" {
		return reply.Reply{}, &reply.UserError{Wrong: "there are no channels here", Right: "use it in a server"}
	}
	settings, err := sit.Settings()
	if err != nil {
		return reply.Reply{}, err
	}
	if len(settings.Channels) == 0 {
		return reply.Reply{Blocks: []reply.Block{reply.Text("Designs may be shared in every channel. A moderator can choose one with"), reply.Verbatim("/sharing here")}}, nil
	}
	facts := make([]reply.Fact, len(settings.Channels))
	for i, c := range settings.Channels {
		facts[i] = reply.Fact{Label: "channel", Channel: c}
		if c == req.Channel {
			facts[i].Value = "(this one)"
		}
	}
	return reply.Reply{Blocks: []reply.Block{reply.Heading("Designs are shared only in"), reply.Facts(facts), reply.Text("A moderator can open every channel again with"), reply.Verbatim("/sharing anywhere")}}, nil
}
