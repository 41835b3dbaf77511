package commands

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"larkfold/commands/reply"
	"larkfold/sizing"
	"larkfold/sizing/length"
	"larkfold/store"
)

func (a *App) shareCommand(name reply.Option) command {
	return command{run: a.shareProject, Command: reply.Command{Name: "share", Description: "Post a design's cut list in this channel, with buttons for everybody", Example: `/project share name:"Tide Line"`, Options: []reply.Option{name}}}
}

func (a *App) unshareCommand(name reply.Option) command {
	return command{run: a.unshareProject, Command: reply.Command{Name: "unshare", Description: "Take back what you shared of a design; its buttons stop working", Example: `/project unshare name:"Tide Line"`, Options: []reply.Option{name}}}
}

func (a *App) sharingCommand() command {
	return command{Command: reply.Command{
		Name: "sharing", Description: "Where members of this server may share designs",
	}, sub: []command{
		{run: a.shareHere, Command: reply.Command{Name: "here", Description: "Let members share in this channel (and others so chosen) only", Example: "/sharing here", ManageOnly: true}},
		{run: a.shareAnywhere, Command: reply.Command{Name: "anywhere", Description: "Let members share in every channel again", Example: "/sharing anywhere", ManageOnly: true}},
		{run: a.listSharing, Command: reply.Command{Name: "list", Description: "Where members may share", Example: "/sharing list"}},
	}}
}

// shareProject freezes a copy of a design and posts its cut list.
func (a *App) shareProject(ctx context.Context, req reply.Request) (reply.Reply, error) {
	saved, err := a.project(ctx, req, req.Options["name"])
	if err != nil {
		return reply.Reply{}, err
	}
	if err := a.mayShare(ctx, req); err != nil {
		return reply.Reply{}, err
	}
	plan, p, err := a.planForAll(ctx, req, saved)
	if err != nil {
		return reply.Reply{}, err
	}
	result, _, err := a.store.Once(ctx, req.Member, req.Now, req.Operation(), func(tx *store.Tx) (json.RawMessage, error) {
		s, err := tx.ShareProject(store.Share{Project: saved.ID, Community: req.Community, Channel: req.Channel, Data: saved.Data})
		if err != nil {
			return nil, err
		}
		return json.Marshal(s.ID)
	})
	if err != nil {
		return reply.Reply{}, err
	}
	var id string
	if err := json.Unmarshal(result, &id); err != nil {
		return reply.Reply{}, err
	}
	var by []reply.Fact
	if req.MemberName != "" {
		by = []reply.Fact{{Label: "shared by", Value: req.MemberName}}
	}
	answer := planReply(plan, p, by)
	answer.Public = true
	answer.Blocks = append(answer.Blocks, reply.Actions{Buttons: []reply.Button{
		{Label: "keep a copy", Do: reply.Do("share.keep", id, ""), Main: true},
		{Label: "in my cord", Do: reply.Do("share.cord", id, "")},
		{Label: "cutting plan", Do: reply.Do("share.plan", id, "")},
		{Label: "metric / imperial", Do: reply.Do("share.units", id, "")},
	}})
	return answer, nil
}

// planForAll sizes a design for anybody's hands: the member's own swatches are
// their own affair.
func (a *App) planForAll(ctx context.Context, req reply.Request, saved store.Project) (sizing.Plan, Prefs, error) {
	p, err := a.prefs(ctx, req)
	if err != nil {
		return sizing.Plan{}, p, err
	}
	own, err := knotsIn(saved)
	if err != nil {
		return sizing.Plan{}, p, err
	}
	b, err := a.bench(ctx, req, p, own...)
	if err != nil {
		return sizing.Plan{}, p, err
	}
	plan, err := sizing.Size(ctx, saved.Sheet, b)
	return plan, p, err
}

// mayShare refuses where sharing makes no sense or is not allowed.
func (a *App) mayShare(ctx context.Context, req reply.Request) error {
	if req.Community == "" {
		return &reply.UserError{Wrong: "there is nobody here to share with", Right: "share in a channel of a server where Larkfold is"}
	}
	settings, err := a.store.Settings(ctx, req.Member, req.Community)
	if err != nil {
		return err
	}
	if len(settings.Channels) > 0 && !slices.Contains(settings.Channels, req.Channel) {
		return &reply.UserError{Wrong: "designs are shared in other channels of this server", Right: "ask a moderator which; those who may manage the server see them with /sharing list"}
	}
	return nil
}

// unshareProject removes every share of a design, named as it is now or as it was
// when it was shared.
func (a *App) unshareProject(ctx context.Context, req reply.Request) (reply.Reply, error) {
	name := strings.TrimSpace(req.Options["name"])
	result, _, err := a.store.Once(ctx, req.Member, req.Now, req.Operation(), func(tx *store.Tx) (json.RawMessage, error) {
		shares, err := tx.Shares()
		if err != nil {
			return nil, err
		}
		project, err := tx.Project(name)
		if err != nil && !errors.Is(err, store.ErrNotFound) {
			return nil, err
		}
		posts := 0
		for _, s := range shares {
			if s.Project != project.ID && !strings.EqualFold(s.Name, name) {
				continue
			}
			if _, err := tx.Unshare(s.ID); err != nil {
				return nil, err
			}
			posts++
		}
		if posts == 0 {
			return nil, &reply.UserError{Read: name, Wrong: "you have shared no design of that name, or have taken it back already", Right: "/project list shows your designs", Try: "/project list"}
		}
		return json.Marshal(posts)
	})
	if err != nil {
		return reply.Reply{}, err
	}
	var posts int
	if err := json.Unmarshal(result, &posts); err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: []reply.Block{reply.Text(reply.Quoted(name) + " is no longer shared: the buttons under " + count(posts, "post") + " stopped working. Copies that others have kept are theirs; delete the posts themselves as you would any message.")}}, nil
}

// shared reads the share behind a button.
func (a *App) shared(ctx context.Context, req reply.Request) (store.Share, error) {
	s, err := a.store.Shared(ctx, req.Member, req.Action.Key)
	if errors.Is(err, store.ErrNotFound) || err == nil && s.Community != req.Community {
		return s, &reply.UserError{Wrong: "this design is no longer shared", Right: "ask its maker to share it again", Cause: err}
	}
	return s, err
}

// sharedPlan sizes a shared design as the one who presses prefers.
func (a *App) sharedPlan(ctx context.Context, req reply.Request) (store.Share, sizing.Plan, Prefs, error) {
	s, err := a.shared(ctx, req)
	if err != nil {
		return s, sizing.Plan{}, Prefs{}, err
	}
	own, err := knotsIn(store.Project{Data: s.Data})
	if err != nil {
		return s, sizing.Plan{}, Prefs{}, err
	}
	plan, p, err := a.size(ctx, req, s.Sheet, own...)
	return s, plan, p, err
}

// keepCopy saves a shared design as one of the presser's own.
func (a *App) keepCopy(ctx context.Context, req reply.Request) (reply.Reply, error) {
	s, err := a.shared(ctx, req)
	if err != nil {
		return reply.Reply{}, err
	}
	req.Action = &reply.Action{Name: req.Action.Name, Op: s.ID} // one copy, however often it is pressed
	result, first, err := a.store.Once(ctx, req.Member, req.Now, req.Operation(), func(tx *store.Tx) (json.RawMessage, error) {
		name, err := freeName(tx, s.Name)
		if err != nil {
			return nil, err
		}
		kept, err := tx.SaveProject(store.Project{Name: name, Sheet: s.Sheet, Data: s.Data}, 0)
		if err != nil {
			return nil, err
		}
		return json.Marshal(kept.Name)
	})
	if err != nil {
		return reply.Reply{}, err
	}
	var name string
	if err := json.Unmarshal(result, &name); err != nil {
		return reply.Reply{}, err
	}
	text := "Your copy is " + reply.Quoted(name) + "."
	if !first {
		text = "You have a copy already: " + reply.Quoted(name) + "."
	}
	return reply.Reply{Blocks: []reply.Block{reply.Text(text), reply.Verbatim("/project show name:" + reply.QuotedIfSpaced(name))}}, nil
}

// freeName is the name itself, or the first of "name 2", "name 3" ... that the
// member has not.
func freeName(tx *store.Tx, name string) (string, error) {
	free := name
	for i := 2; ; i++ {
		_, err := tx.Project(free)
		if errors.Is(err, store.ErrNotFound) {
			return free, nil
		}
		if err != nil {
			return "", err
		}
		free = fmt.Sprintf("%s %d", name, i)
	}
}

// sharedInCord asks in which cord the presser would make a shared design.
func (a *App) sharedInCord(ctx context.Context, req reply.Request) (reply.Reply, error) {
	s, err := a.shared(ctx, req)
	if err != nil {
		return reply.Reply{}, err
	}
	own, err := knotsIn(store.Project{Data: s.Data})
	if err != nil {
		return reply.Reply{}, err
	}
	key, err := a.keep(ctx, req, "sheet", sheetDraft{Sheet: s.Sheet, Knots: own})
	if err != nil {
		return reply.Reply{}, err
	}
	req.Action = &reply.Action{Key: key}
	return a.askCord(ctx, req)
}

// sharedCutting plans the cuts of a shared design from the presser's own shelf.
func (a *App) sharedCutting(ctx context.Context, req reply.Request) (reply.Reply, error) {
	s, plan, p, err := a.sharedPlan(ctx, req)
	if err != nil {
		return reply.Reply{}, err
	}
	return a.cuttingReply(ctx, req, p, s.Name, cutsOf(plan, nil), defaultKeep, false)
}

// sharedUnits shows a shared design in the other units.
func (a *App) sharedUnits(ctx context.Context, req reply.Request) (reply.Reply, error) {
	_, plan, p, err := a.sharedPlan(ctx, req)
	if err != nil {
		return reply.Reply{}, err
	}
	if p.Style.System == length.Imperial {
		p.Style.System = length.Metric
	} else {
		p.Style.System = length.Imperial
	}
	return planReply(plan, p, nil), nil
}

// changeSharing changes where members may share.
func (a *App) changeSharing(ctx context.Context, req reply.Request, change func(channels []string) []string) (reply.Reply, error) {
	switch {
	case req.Community == "":
		return reply.Reply{}, &reply.UserError{Wrong: "there are no channels here", Right: "use it in a server that you look after"}
	case !req.CanManage:
		return reply.Reply{}, &reply.UserError{Wrong: "only those who may manage this server can choose where designs are shared", Right: "ask one of its moderators"}
	}
	_, _, err := a.store.Once(ctx, req.Member, req.Now, req.Operation(), func(tx *store.Tx) (json.RawMessage, error) {
		settings, err := tx.Settings(req.Community)
		if err != nil {
			return nil, err
		}
		before := settings.Revision
		settings.Channels = change(settings.Channels)
		_, err = tx.SaveSettings(req.Community, settings, before)
		return nil, err
	})
	if err != nil {
		return reply.Reply{}, err
	}
	return a.listSharing(ctx, req)
}

func (a *App) shareHere(ctx context.Context, req reply.Request) (reply.Reply, error) {
	return a.changeSharing(ctx, req, func(channels []string) []string {
		if slices.Contains(channels, req.Channel) {
			return channels
		}
		return append(channels, req.Channel)
	})
}

func (a *App) shareAnywhere(ctx context.Context, req reply.Request) (reply.Reply, error) {
	return a.changeSharing(ctx, req, func([]string) []string { return nil })
}

func (a *App) listSharing(ctx context.Context, req reply.Request) (reply.Reply, error) {
	if req.Community == "" {
		return reply.Reply{}, &reply.UserError{Wrong: "there are no channels here", Right: "use it in a server"}
	}
	settings, err := a.store.Settings(ctx, req.Member, req.Community)
	if err != nil {
		return reply.Reply{}, err
	}
	if len(settings.Channels) == 0 {
		return reply.Reply{Blocks: []reply.Block{reply.Text("Designs may be shared in every channel. A moderator can choose one with"), reply.Verbatim("/sharing here")}}, nil
	}
	facts := make([]reply.Fact, len(settings.Channels))
	for i, c := range settings.Channels {
		facts[i] = reply.Fact{Label: "channel", Value: c}
		if c == req.Channel {
			facts[i].Value += " (this one)"
		}
	}
	return reply.Reply{Blocks: []reply.Block{reply.Heading("Designs are shared only in"), reply.Facts(facts), reply.Text("A moderator can open every channel again with"), reply.Verbatim("/sharing anywhere")}}, nil
}
