package project

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"larkfold/commands/cutting"
	"larkfold/commands/design"
	"larkfold/commands/handler"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
	"larkfold/store"
)

func shareCommand(name reply.Option) handler.Command {
	return handler.Command{Run: Share, Reads: sitting.Knots | sitting.Design | sitting.Settings, Command: reply.Command{Name: "share", Description: "Post a design's cut list in this channel, with buttons for everybody", Example: `/project share name:"Tide Line"`, Options: []reply.Option{name}}}
}

func unshareCommand(name reply.Option) handler.Command {
	return handler.Command{Run: unshareProject, Command: reply.Command{Name: "unshare", Description: "Take back what you shared of a design; its buttons stop working", Example: `/project unshare name:"Tide Line"`, Options: []reply.Option{name}}}
}

// Share freezes a copy of a design and posts its cut list.
func Share(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	saved, err := design.Find(sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	if err := mayShare(sit, req); err != nil {
		return reply.Reply{}, err
	}
	sized, err := sizedForAll(ctx, sit, saved)
	if err != nil {
		return reply.Reply{}, err
	}
	result, _, err := sit.Once(ctx, req, func(tx *store.Tx) (json.RawMessage, error) {
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
	answer := say.Sized(sized, sit.Prefs, by)
	answer.Public = true
	answer.Blocks = append(answer.Blocks, reply.Actions{Buttons: []reply.Button{
		{Label: "keep a copy", Do: reply.Do("share.keep", id, ""), Main: true},
		{Label: "in my cord", Do: reply.Do("share.cord", id, "")},
		{Label: "cutting plan", Do: reply.Do("share.plan", id, "")},
		{Label: "metric / imperial", Do: reply.Do("share.units", id, "")},
		{Label: "build from this", Do: reply.Do("build.shared", id, "")},
		{Label: "work along", Do: reply.Do("work.shared", id, "")},
	}})
	return answer, nil
}

// sizedForAll sizes a design for anybody's hands: the member's own swatches are
// their own affair.
func sizedForAll(ctx context.Context, sit sitting.Sitting, saved store.Project) (sizing.Sized, error) {
	own, err := sitting.KnotsOf(saved)
	if err != nil {
		return sizing.Sized{}, err
	}
	m, err := sit.Maker(own...)
	if err != nil {
		return sizing.Sized{}, err
	}
	s, faults := sheet.Parse(saved.Sheet, m.Book)
	if faults.Any() {
		return sizing.Sized{}, faults
	}
	if err := design.TurnToSize(ctx, s); err != nil {
		return sizing.Sized{}, err
	}
	sized, err := sizing.Sheet(ctx, s, saved.Sheet, m)
	sized.Sheet.Piece = saved.Name
	return sized, err
}

// mayShare refuses where sharing makes no sense or is not allowed.
func mayShare(sit sitting.Sitting, req reply.Request) error {
	if req.Community == "" {
		return &reply.UserError{Wrong: "there is nobody here to share with", Right: "share in a channel of a server where Larkfold is"}
	}
	if req.KeptPrivate {
		return &reply.UserError{Wrong: "only you would see it: Larkfold is not installed in this server, and apps that members bring along may not post here", Right: "ask a moderator to install Larkfold, or to let members use external apps"}
	}
	settings, err := sit.Settings()
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
func unshareProject(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	name := strings.TrimSpace(req.Options["name"])
	result, _, err := sit.Once(ctx, req, func(tx *store.Tx) (json.RawMessage, error) {
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
	return reply.Reply{Blocks: []reply.Block{reply.Text(reply.Quoted(name) + " is no longer shared: the buttons under " + noun.Count(posts, "post") + " stopped working. Copies that others have kept are theirs; delete the posts themselves as you would any message.")}}, nil
}

// findShare is the share behind a button.
func findShare(sit sitting.Sitting, req reply.Request) (store.Share, error) {
	s, err := sit.Share()
	if errors.Is(err, store.ErrNotFound) || err == nil && s.Community != req.Community {
		return s, &reply.UserError{Wrong: "this design is no longer shared", Right: "ask its maker to share it again", Cause: err}
	}
	return s, err
}

// sizedShare sizes a shared design as the one who presses prefers.
func sizedShare(ctx context.Context, sit sitting.Sitting, req reply.Request) (store.Share, sizing.Sized, error) {
	s, err := findShare(sit, req)
	if err != nil {
		return s, sizing.Sized{}, err
	}
	own, err := sitting.KnotsOf(store.Project{Data: s.Data})
	if err != nil {
		return s, sizing.Sized{}, err
	}
	sized, err := design.Size(ctx, sit, s.Name, s.Sheet, own)
	return s, sized, err
}

// keepCopy saves a shared design as one of the presser's own.
func keepCopy(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	s, err := findShare(sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	req.Action = &reply.Action{Name: req.Action.Name, Op: s.ID} // one copy, however often it is pressed
	result, first, err := sit.Once(ctx, req, func(tx *store.Tx) (json.RawMessage, error) {
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
func sharedInCord(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	s, err := findShare(sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	own, err := sitting.KnotsOf(store.Project{Data: s.Data})
	if err != nil {
		return reply.Reply{}, err
	}
	key, err := sit.Keep(ctx, req, "sheet", design.Draft{Sheet: s.Sheet, Knots: own})
	if err != nil {
		return reply.Reply{}, err
	}
	return cordForm(key, req.Operation()), nil
}

// sharedCutting plans the cuts of a shared design from the presser's own shelf.
func sharedCutting(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	s, sized, err := sizedShare(ctx, sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	return cutting.Answer(ctx, sit, req, s.Name, cutting.CutsOf(sized, nil), cutting.UsualKeep, false)
}

// sharedUnits shows a shared design in the other units.
func sharedUnits(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	_, sized, err := sizedShare(ctx, sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	p := sit.Prefs
	if p.Style.System == length.Imperial {
		p.Style.System = length.Metric
	} else {
		p.Style.System = length.Imperial
	}
	return say.Sized(sized, p, nil), nil
}

// Shared is the shared design behind a button, with the knots it took along.
func Shared(sit sitting.Sitting, req reply.Request) (store.Share, []knot.Row, error) {
	s, err := findShare(sit, req)
	if err != nil {
		return s, nil, err
	}
	own, err := sitting.KnotsOf(store.Project{Data: s.Data})
	return s, own, err
}
