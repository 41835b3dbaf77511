package bot_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"larkfold/bot"
	"larkfold/bot/platformtest"
	"larkfold/commands/reply"

	"github.com/stretchr/testify/require"
)

// workshop is an app with every kind of command and block.
func workshop() *fakeApp {
	app := &fakeApp{presses: map[string]handler{}, typed: map[string]handler{
		"cord":        cordAnswer,
		"project new": sheetForm("new", ""),
		"project share": func(_ context.Context, req reply.Request) (reply.Reply, error) {
			r := say("Cut list of " + req.Options["name"])
			r.Public = true
			return r, nil
		},
		"knots": saying("the book"),
		"Size this sheet": func(_ context.Context, req reply.Request) (reply.Reply, error) {
			return reply.Reply{Blocks: []reply.Block{reply.Verbatim(req.Text)}}, nil
		},
	}}
	app.list = []reply.Command{
		{Name: "cord", Description: "How much cord a design needs.", Example: "/cord width:40cm drop:70cm",
			Options: []reply.Option{
				{Name: "width", Description: "Finished width.", Required: true},
				{Name: "drop", Description: "Finished drop.", Required: true},
				{Name: "knot", Description: "Knotwork.", Suggest: "knot"},
				{Name: "strands", Description: "Strands.", Kind: reply.Whole, Min: 1, Max: 40},
				{Name: "folded", Description: "Folded over a dowel.", Kind: reply.YesNo},
				{Name: "fringe", Description: "Fringe.", Choices: []reply.Choice{{Name: "brushed out", Value: "brushed"}, {Name: "none", Value: "none"}}},
			}},
		{Name: "project", Description: "Saved designs.", Sub: []reply.Command{
			{Name: "new", Description: "A new design."},
			{Name: "share", Description: "Post the cut list.", Options: []reply.Option{{Name: "name", Description: "Which.", Required: true}}},
		}},
		{Name: "knots", Description: "The knot book.", ManageOnly: true},
		{Name: "Size this sheet", MessageMenu: true},
	}
	app.presses["save"] = saying("Saved.")
	app.presses["pick"] = func(_ context.Context, req reply.Request) (reply.Reply, error) {
		return say("picked " + strings.Join(req.Values, ",")), nil
	}
	app.presses["edit"] = sheetForm("edit", "piece: owl")
	app.presses["sheet"] = func(_ context.Context, req reply.Request) (reply.Reply, error) {
		return say("name " + req.Fields["name"] + ", sheet " + req.Fields["sheet"]), nil
	}
	app.complete = func(_ context.Context, _ reply.Request, option, typed string) ([]reply.Choice, error) {
		return []reply.Choice{{Name: option + " like " + typed, Value: typed + "uare"}}, nil
	}
	return app
}

func sheetForm(key, start string) handler {
	return func(context.Context, reply.Request) (reply.Reply, error) {
		return reply.Reply{Blocks: []reply.Block{reply.Form{
			Title: "Working sheet", Do: reply.Action{Name: "sheet", Version: 1, Key: key},
			Fields: []reply.Field{
				{Name: "name", Label: "Name", Required: true, MaxLength: 60},
				{Name: "sheet", Label: "Sheet", Value: start, Long: true, Placeholder: "One row a line"},
			},
		}}}, nil
	}
}

func cordAnswer(_ context.Context, req reply.Request) (reply.Reply, error) {
	return reply.Reply{Blocks: []reply.Block{
		reply.Heading("Wall hanging, " + req.Options["width"] + " by " + req.Options["drop"]),
		reply.Table{
			Columns: []reply.Column{{Title: "Label"}, {Title: "Count", Right: true}, {Title: "Cut length", Right: true}},
			Rows:    [][]string{{"A", "12", "3.20 m"}, {"B", "1", "55 cm"}},
			Short:   []string{"A  12 x 3.20 m  fold", "B   1 x 55 cm   wrap"},
		},
		reply.Facts{{Label: "Total", Value: "38.95 m"}},
		painted("hanging.png", []byte("\x89PNG"), "Twelve cords on a dowel"),
		reply.Caution("Hang it where nobody can be caught in a loop."),
		reply.Text("*knot* `sq` @everyone <@1> https://example.org"),
		reply.File{Name: "sheet.txt", Data: []byte("piece: owl"), Alt: "The sheet"},
		reply.Actions{
			Buttons: []reply.Button{
				{Label: "Save", Do: reply.Action{Name: "save", Version: 1, Key: "k1", Op: "op1"}, Main: true},
				{Label: "Edit", Do: reply.Action{Name: "edit", Version: 1, Key: "k1"}},
				{Label: "Save again", Do: reply.Action{Name: "save", Version: 1, Key: "k1", Op: "op1"}, Danger: true},
			},
			Menus: []reply.Menu{{Placeholder: "My cord", Do: reply.Action{Name: "pick", Version: 2, Key: "k1"},
				Choices: []reply.Choice{{Name: "3 mm cotton", Value: "c3"}, {Name: "4 mm jute", Value: "j4"}}}},
		},
	}}, nil
}

func TestEveryBlockAndEveryWayToAsk(t *testing.T) {
	t.Parallel()
	bothWays(t, workshop, nil, func(t *testing.T, p *platformtest.Platform, app *fakeApp) {
		ana := p.Member("ana")
		ex := ana.Slash("/cord width:40cm drop:70 cm knot:square strands:6 folded:true fringe:brushed out")

		req := app.requests()[0]
		require.Equal(t, "cord", req.Command)
		require.Equal(t, map[string]string{"width": "40cm", "drop": "70 cm", "knot": "square", "strands": "6", "folded": "true", "fringe": "brushed"}, req.Options)
		require.Equal(t, ana.ID(), req.Member)
		require.Equal(t, "ana", req.MemberName)
		require.Equal(t, p.Guild, req.Community)
		require.NotEmpty(t, req.ID)
		require.NotEmpty(t, req.Channel)
		require.False(t, req.CanManage)
		require.WithinDuration(t, time.Now(), req.Now, time.Minute)

		require.True(t, ex.Message.Private, "private in a server")
		require.Equal(t, strings.HasSuffix(t.Name(), "http"), ex.Deferred, "a file cannot go into the response to a request")
		require.Equal(t, "Wall hanging, 40cm by 70 cm", ex.Message.Embeds[0].Title)
		require.Contains(t, ex.Text(), "```\nA  12 x 3.20 m  fold\nB   1 x 55 cm   wrap\n```")
		require.Contains(t, ex.Text(), "**Total:** 38.95 m")
		require.Contains(t, ex.Text(), "⚠ **Caution:** Hang it where nobody can be caught in a loop.")
		require.Contains(t, ex.Text(), `\*knot\* \`+"`sq\\`"+` \@everyone \<\@1\> https\://example.org`)
		require.Equal(t, "hanging.png", ex.Message.Embeds[0].Image)
		require.Equal(t, "Twelve cords on a dowel", ex.File("hanging.png").Alt)
		require.Equal(t, []byte("piece: owl"), ex.File("sheet.txt").Data)
		require.Len(t, ex.Message.Buttons, 3)

		require.Equal(t, "Saved.", ana.Click(ex, "Save").Text())
		press := app.requests()[1]
		require.Equal(t, &reply.Action{Name: "save", Version: 1, Key: "k1", Op: "op1"}, press.Action)
		require.Equal(t, "Saved.", ana.Click(ex, "Save again").Text(), "two buttons may do the same")

		require.Equal(t, "picked j4", ana.Choose(ex, "My cord", "j4").Text())

		form := ana.Click(ex, "Edit")
		require.Equal(t, "Working sheet", form.Modal.Title)
		require.Equal(t, "piece: owl", form.Modal.Fields[1].Value)
		require.True(t, form.Modal.Fields[1].Long)
		require.Equal(t, "name Owl, sheet piece: owl", ana.Submit(form, map[string]string{"name": "Owl"}).Text())

		form = ana.Slash("/project new")
		require.NotNil(t, form.Modal)

		require.Equal(t, []platformtest.Choice{{Name: "knot like sq", Value: "square"}}, ana.Autocomplete("/cord width:1 knot:sq", "knot").Choices)

		menu := ana.MessageMenu("Size this sheet", "piece: owl\n```rows: 3```")
		require.Equal(t, "```\npiece: owl\n`\u200b`\u200b`rows: 3`\u200b`\u200b`\n```", menu.Text())

		shared := ana.Slash("/project share name:owl")
		require.False(t, shared.Message.Private, "public by the member's own act")
		require.Equal(t, "Cut list of owl", shared.Text())

		require.False(t, ana.Direct().Slash("/cord width:1 drop:2").Message.Private, "a private chat is private anyway")
		require.True(t, ana.Group().Slash("/cord width:1 drop:2").Message.Private)
		ana.Manager().Slash("/knots")
		asked := app.requests()
		require.True(t, asked[len(asked)-1].CanManage)
	})
}

func TestSlowAnswerIsDeferredAndFilledIn(t *testing.T) {
	t.Parallel()
	slow := func() *fakeApp {
		app := workshop()
		app.list = append(app.list, reply.Command{Name: "slow", Description: "Slow.", Options: []reply.Option{{Name: "what", Description: "What."}}})
		app.typed["slow"] = func(_ context.Context, req reply.Request) (reply.Reply, error) {
			untilDeferred(app.platform, req)
			switch req.Options["what"] {
			case "public":
				r := say("for all to see")
				r.Public = true
				return r, nil
			case "form":
				return sheetForm("late", "piece: owl")(context.Background(), req)
			case "fault":
				return reply.Reply{}, errors.New("out of cord")
			}
			return say("at last"), nil
		}
		return app
	}
	bothWays(t, slow, deferSoon, func(t *testing.T, p *platformtest.Platform, _ *fakeApp) {
		ana := p.Member("ana")
		ex := ana.Slash("/slow")
		require.True(t, ex.Deferred)
		require.Equal(t, "at last", ex.Text())
		require.True(t, ex.Message.Private)
		require.Less(t, ex.Acknowledged, ex.Took)

		ex = ana.Slash("/slow what:public").Until("the public message", func(ex *platformtest.Exchange) bool { return len(ex.FollowUps) == 1 })
		require.True(t, ex.Message.Private)
		require.False(t, ex.FollowUps[0].Private)
		require.Equal(t, "for all to see", ex.FollowUps[0].Text())

		ex = ana.Slash("/slow what:form")
		require.Contains(t, ex.Text(), "took too long to open")
		require.Equal(t, "piece: owl", string(ex.File("sheet.txt").Data), "nothing typed is lost")

		ex = ana.Slash("/slow what:fault")
		require.Contains(t, ex.Text(), "Something went wrong on my side")
		require.NotContains(t, ex.Text(), "out of cord")
	})
}

func TestFormAfterFormGetsASentence(t *testing.T) {
	t.Parallel()
	app := workshop()
	app.presses["sheet"] = sheetForm("again", "piece: owl")
	p := standIn(t, platformtest.Options{})
	r := start(t, p, app, nil)
	ana := p.Member("ana")
	ex := ana.Submit(ana.Slash("/project new"), map[string]string{"name": "Owl"})
	require.Contains(t, ex.Text(), "A form cannot open another form")
	require.Equal(t, "piece: owl", string(ex.File("sheet.txt").Data))
	require.Contains(t, r.log.String(), "a form answered a form")
}

// A form opens with as much as a field can hold; with a character more, what the
// app has instead is shown.
func TestFormOfTheLongestText(t *testing.T) {
	t.Parallel()
	long := strings.Repeat("é", 4000)
	app := only(func(_ context.Context, req reply.Request) (reply.Reply, error) {
		return reply.Reply{Blocks: []reply.Block{reply.Form{
			Title: "Sheet", Do: reply.Action{Name: "sheet"}, Otherwise: []reply.Block{reply.Text("Here it is as a file.")},
			Fields: []reply.Field{{Name: "sheet", Label: "Sheet", Value: long + req.Options["more"], Long: true}},
		}}}, nil
	})
	app.list[0].Options = []reply.Option{{Name: "more", Description: "More."}}
	p := standIn(t, platformtest.Options{})
	start(t, p, app, nil)
	require.Equal(t, long, p.Member("ana").Slash("/go").Modal.Fields[0].Value)
	require.Contains(t, p.Member("ana").Slash("/go more:x").Text(), "as a file")
}

func TestFaultyFormLosesNothing(t *testing.T) {
	t.Parallel()
	long := strings.Repeat("row square\n", 400)
	form := reply.Form{Title: "Sheet", Do: reply.Action{Name: "sheet"}, Fields: []reply.Field{{Name: "sheet", Label: "Sheet", Value: long, Long: true}}}
	app := only(func(_ context.Context, req reply.Request) (reply.Reply, error) {
		if req.Options["what"] == "mixed" {
			return reply.Reply{Blocks: []reply.Block{reply.Caution("Mind the hook."), form}}, nil
		}
		return reply.Reply{Blocks: []reply.Block{form}}, nil
	})
	app.list[0].Options = []reply.Option{{Name: "what", Description: "What."}}
	p := standIn(t, platformtest.Options{})
	r := start(t, p, app, nil)
	ex := p.Member("ana").Slash("/go")
	require.Contains(t, ex.Text(), "The form cannot be shown here")
	require.Equal(t, long, string(ex.File("sheet.txt").Data))
	require.Contains(t, r.log.String(), "starts with 4400 characters, it may hold 4000")

	ex = p.Member("ana").Slash("/go what:mixed")
	require.Contains(t, ex.Text(), "Mind the hook.")
	require.Contains(t, ex.Text(), "cannot be shown together")
	require.Equal(t, long, string(ex.File("sheet.txt").Data))
}

func TestCompletionsAreFitted(t *testing.T) {
	t.Parallel()
	app := workshop()
	app.complete = func(ctx context.Context, _ reply.Request, _, typed string) ([]reply.Choice, error) {
		if typed == "slow" {
			<-ctx.Done()
		}
		if typed == "fault" {
			return nil, errors.New("no book")
		}
		var out []reply.Choice
		for i := range 40 {
			name := strings.Repeat(string(rune('a'+i)), 150)
			out = append(out, reply.Choice{Name: name, Value: strings.Repeat("k", i*5)}, reply.Choice{Name: name, Value: strings.Repeat("q", i*5)})
		}
		return out, nil
	}
	p := standIn(t, platformtest.Options{})
	r := start(t, p, app, func(c *bot.Config) { c.Timing.Acknowledge = 4 * time.Second })
	ana := p.Member("ana")
	require.Len(t, ana.Autocomplete("/cord knot:sq", "knot").Choices, 13, "25 choices, each name once")
	require.Empty(t, ana.Autocomplete("/cord knot:fault", "knot").Choices)
	require.Empty(t, ana.Autocomplete("/cord knot:slow", "knot").Choices, "the clock does not wait")

	// Of what is answered for every key that is pressed the log has nothing but for debugging.
	ana.Slash("/cord width:1 drop:2")
	p.Until("the log lines", func() bool { return strings.Count(r.log.String(), "msg=interaction ") == 4 })
	require.Equal(t, 3, strings.Count(r.log.String(), "level=DEBUG msg=interaction "))
}

func TestMessageMenuReadsContentAndEmbeds(t *testing.T) {
	t.Parallel()
	app := workshop()
	p := standIn(t, platformtest.Options{})
	start(t, p, app, nil)
	ana := p.Member("ana")
	ana.Wait(ana.Send(2, map[string]any{"name": "Size this sheet", "type": 3, "target_id": "5", "resolved": map[string]any{"messages": map[string]any{
		"5": map[string]any{"content": "look", "embeds": []any{map[string]any{"description": "piece: owl"}, map[string]any{"title": "no text"}}}}}}))
	ana.Wait(ana.Send(2, map[string]any{"name": "Size this sheet", "type": 3, "target_id": "5"}))
	require.Equal(t, "look\npiece: owl", app.requests()[0].Text)
	require.Empty(t, app.requests()[1].Text)
}

func TestLargeUploadIsDeferredFirst(t *testing.T) {
	t.Parallel()
	app := only(func(context.Context, reply.Request) (reply.Reply, error) {
		return reply.Reply{Blocks: []reply.Block{reply.File{Name: "big.pdf", Data: make([]byte, 3<<20), Alt: "For print"}}}, nil
	})
	p := standIn(t, platformtest.Options{})
	start(t, p, app, nil)
	ex := p.Member("ana").Slash("/go")
	require.True(t, ex.Deferred)
	require.Len(t, ex.File("big.pdf").Data, 3<<20)
}

func TestUnknownCommandAndStaleControlsGetASentence(t *testing.T) {
	t.Parallel()
	bothWays(t, workshop, nil, func(t *testing.T, p *platformtest.Platform, app *fakeApp) {
		ana := p.Member("ana")
		ex := ana.Wait(ana.Send(2, map[string]any{"id": "1", "name": "gone", "type": 1}))
		require.Contains(t, ex.Text(), "I do not know the command /gone")
		ex = ana.Wait(ana.Send(4, map[string]any{"id": "1", "name": "gone", "type": 1}))
		require.Empty(t, ex.Choices)
		for _, id := range []string{"x", "lf0|0|1|save||", "lf1|0|one|save||", "lf1|0|1|||", "lf1|0|1|save|", "|||||", "save:1"} {
			require.Contains(t, ana.Press(id).Text(), "belongs to an older version", id)
		}
		require.Empty(t, app.requests(), "none of this reached the app")
	})
}

func TestBusyAndStoppingTurnAwayPolitely(t *testing.T) {
	t.Parallel()
	release := make(chan struct{})
	app := only(func(ctx context.Context, _ reply.Request) (reply.Reply, error) {
		<-release
		return say("done"), nil
	})
	p := standIn(t, platformtest.Options{})
	r := start(t, p, app, func(c *bot.Config) {
		c.Concurrency = 1
		c.Timing.Acknowledge, c.Timing.Stop = 50*time.Millisecond, time.Minute
	})
	ana, ben := p.Member("ana"), p.Member("ben")
	var asked []*platformtest.Exchange
	for range 7 {
		asked = append(asked, ana.Type("/go"))
	}
	p.Until("what a member reads who has four things in hand", func() bool {
		told := 0
		for _, ex := range asked {
			if strings.Contains(ex.Look().Text(), "One thing after the other") {
				told++
			}
		}
		return told == 3
	})
	waits := ben.Type("/go")
	waits.Until("a deferral", func(ex *platformtest.Exchange) bool { return ex.Deferred })

	r.stop()
	require.Contains(t, ben.Wait(waits).Text(), "being restarted", "those who wait are told")
	require.Contains(t, ben.Slash("/go").Text(), "being restarted", "and so are those who come")
	close(release)
	finished := 0
	for _, ex := range asked {
		if ana.Wait(ex).Text() == "done" {
			finished++
		}
	}
	require.Equal(t, 1, finished, "running work is finished")
	require.NoError(t, r.wait())
}

func TestStopDoesNotWaitForEver(t *testing.T) {
	t.Parallel()
	app := only(func(ctx context.Context, _ reply.Request) (reply.Reply, error) {
		select {} // a handler that heeds nothing
	})
	p := standIn(t, platformtest.Options{})
	r := start(t, p, app, func(c *bot.Config) { c.Timing.Stop = 200 * time.Millisecond })
	p.Member("ana").Type("/go").Unanswered()
	p.Until("the request", func() bool { return len(app.requests()) == 1 })
	r.stop()
	require.NoError(t, r.wait())
	require.Contains(t, r.log.String(), "work unfinished")
}

func TestWorkThatNeverEndsIsGivenUp(t *testing.T) {
	t.Parallel()
	app := only(func(ctx context.Context, _ reply.Request) (reply.Reply, error) {
		if ctx.Value("never") == nil {
			select {}
		}
		return reply.Reply{}, nil
	})
	p := standIn(t, platformtest.Options{})
	start(t, p, app, func(c *bot.Config) {
		c.Timing.Acknowledge, c.Timing.Work, c.Timing.Stop = 50*time.Millisecond, 200*time.Millisecond, time.Millisecond
	})
	require.Contains(t, p.Member("ana").Slash("/go").Text(), "This took too long")
}
