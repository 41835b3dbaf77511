package main

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"image"
	"image/png"
	"io"
	"log/slog"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"larkfold/bot"
	"larkfold/bot/platformtest"
	"larkfold/commands"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/store"

	"github.com/stretchr/testify/require"
)

// stage is the bot as it is served - real commands over a store in a file -
// connected to a stand-in for the platform.
type stage struct {
	*platformtest.Platform
	app     *twice
	records *store.Records
}

// raise runs a bot until the test ends. Then its log must hold no error and its
// store must be sound. Its clocks are slow, so that no answer is deferred because
// the machine is; the bot's own tests keep the true ones.
func raise(t testing.TB) *stage {
	t.Helper()
	p := platformtest.Start(t, platformtest.Options{Deadline: time.Minute, Patience: 2 * time.Minute})
	return raiseOn(t, p, 0, bot.Timing{Acknowledge: 40 * time.Second, FirstAnswer: 55 * time.Second})
}

// raiseOn runs a bot that works on so many requests at once; 0 is its default.
func raiseOn(t testing.TB, p *platformtest.Platform, concurrency int, timing bot.Timing) *stage {
	t.Helper()
	home := &place{dir: t.TempDir()}
	opened, err := home.open(context.Background())
	require.NoError(t, err)
	app := &twice{App: commands.New(commands.Config{Store: opened.Records}), t: t, records: opened.Records}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	log := &errorLog{}
	go func() {
		ended <- bot.Run(ctx, bot.Config{App: app, Token: p.Token, PlatformURL: p.URL, Concurrency: concurrency, Timing: timing, Log: slog.New(slog.NewTextHandler(log, &slog.HandlerOptions{Level: slog.LevelError}))})
	}()
	t.Cleanup(func() {
		stop()
		require.NoError(t, <-ended)
		if !app.off {
			require.Empty(t, log.String(), "the bot logged errors")
		}
		report, err := opened.Check(context.Background())
		require.NoError(t, err)
		require.Empty(t, report.Problems)
		require.NoError(t, opened.Close())
	})
	p.WaitReady(1)
	return &stage{Platform: p, app: app, records: opened.Records}
}

// errorLog is a log that many may write.
type errorLog struct {
	mu   sync.Mutex
	text bytes.Buffer
}

// Write keeps what the bot says, and not what its library complains of: it does not
// know the components of newer forms, which the bot reads itself.
func (l *errorLog) Write(line []byte) (int, error) {
	if bytes.Contains(line, []byte("platform library")) {
		return len(line), nil
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.Write(line)
}

func (l *errorLog) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.String()
}

// twice is the commands. Whatever changes a record is asked a second time, as if
// it had been delivered again to a bot that was started meanwhile and remembers
// nothing: the records must stay as they are.
type twice struct {
	*commands.App
	t       testing.TB
	records *store.Records
	off     bool // to be measured: asked once, nothing is noted
	undrawn bool // pictures are specks, where a story is not about them

	turn    sync.Mutex // one after another, or another's change would be taken for this one's
	mu      sync.Mutex
	asked   map[string]bool // paths of commands
	pressed map[string]bool // names of actions
	offered map[string]bool // names of the actions of buttons, menus and forms
	changes int
}

func (a *twice) Do(ctx context.Context, req reply.Request) (reply.Reply, error) {
	if a.off {
		return a.App.Do(ctx, req)
	}
	a.turn.Lock()
	defer a.turn.Unlock()
	before := a.lasting(req.Member, req.Community)
	answer, err := a.App.Do(ctx, req)
	if a.undrawn {
		answer = undrawn(answer)
	}
	after := a.lasting(req.Member, req.Community)
	a.note(req, answer, before != after)
	if err == nil && before != after {
		if _, err := a.App.Do(ctx, req); err != nil {
			a.t.Errorf("delivered again, %s failed: %v", called(req), err)
		}
		if again := a.lasting(req.Member, req.Community); again != after {
			a.t.Errorf("delivered again, %s changed the records again:\n%s\n%s", called(req), after, again)
		}
	}
	return answer, err
}

func called(req reply.Request) string {
	if req.Action != nil {
		return "the press " + req.Action.Name
	}
	return "/" + req.Command
}

func (a *twice) note(req reply.Request, answer reply.Reply, changed bool) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.asked == nil {
		a.asked, a.pressed, a.offered = map[string]bool{}, map[string]bool{}, map[string]bool{}
	}
	if req.Action != nil {
		a.pressed[req.Action.Name] = true
	} else {
		a.asked[req.Command] = true
	}
	if changed {
		a.changes++
	}
	for _, do := range actionsOf(answer) {
		a.offered[do.Name] = true
	}
}

func actionsOf(answer reply.Reply) (all []reply.Action) {
	for _, block := range answer.Blocks {
		switch b := block.(type) {
		case reply.Form:
			all = append(all, b.Do)
		case reply.Actions:
			for _, button := range b.Buttons {
				all = append(all, button.Do)
			}
			for _, menu := range b.Menus {
				all = append(all, menu.Do)
			}
		}
	}
	return all
}

// unzip is the one file in a ZIP file.
func unzip(file []byte) ([]byte, error) {
	r, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		return nil, err
	}
	text, err := r.File[0].Open()
	if err != nil {
		return nil, err
	}
	return io.ReadAll(text)
}

// undrawn is an answer whose pictures cost nothing.
func undrawn(answer reply.Reply) reply.Reply {
	answer.Blocks = slices.Clone(answer.Blocks)
	for i, block := range answer.Blocks {
		if p, ok := block.(reply.Picture); ok {
			p.Draw = func() (reply.Image, error) {
				var speck bytes.Buffer
				err := png.Encode(&speck, image.NewGray(image.Rect(0, 0, 1, 1)))
				return reply.Image{PNG: speck.Bytes(), Alt: "a speck"}, err
			}
			answer.Blocks[i] = p
		}
	}
	return answer
}

// lasting is everything lasting that a member has and a community shares, and what
// they have under way, as text. Drafts behind buttons and keys of operations come and
// go.
func (a *twice) lasting(member, community string) string {
	var all []any
	err := a.records.View(context.Background(), member, time.Time{}, func(tx *store.Tx) error {
		var failed []error
		note := func(records any, err error) {
			all, failed = append(all, records), append(failed, err)
		}
		summaries, err := tx.Projects()
		note(summaries, err)
		for _, p := range summaries {
			note(tx.ProjectByID(p.ID))
			note(tx.History(p.ID))
		}
		note(tx.Bin())
		note(tx.Leftovers())
		note(tx.Swatches())
		note(tx.Preferences())
		note(tx.Shares())
		note(tx.Drafts(sitting.Build, sitting.Work))
		for _, book := range []store.Book{store.KindKnot, store.KindRule} {
			note(tx.Entries(book))
			if community != "" {
				note(tx.CommunityEntries(community, book))
			}
		}
		if community != "" {
			note(tx.Settings(community))
		}
		return errors.Join(failed...)
	})
	if err != nil {
		a.t.Errorf("the records of a member: %v", err)
	}
	text, err := json.Marshal(all)
	if err != nil {
		a.t.Errorf("the records of a member: %v", err)
	}
	return string(text)
}

// paths are the typed commands, joined by blanks, and those on a message.
func paths(list []reply.Command, prefix string) (all []string) {
	for _, c := range list {
		if len(c.Sub) > 0 {
			all = append(all, paths(c.Sub, prefix+c.Name+" ")...)
			continue
		}
		all = append(all, prefix+c.Name)
	}
	return all
}

// says insists that an answer says all of that and is no form.
func says(t testing.TB, ex *platformtest.Exchange, parts ...string) *platformtest.Exchange {
	t.Helper()
	require.NotNil(t, ex.Message, "no message but %q", ex.Text())
	for _, part := range parts {
		require.Contains(t, plain(ex), part)
	}
	return ex
}

// plain is an answer's text as it reads, without the signs of the markup.
func plain(ex *platformtest.Exchange) string {
	return strings.NewReplacer(`\`, "", "**", "").Replace(ex.Text())
}

// cutList is the first fixed block of an answer: the cuts on a narrow screen.
func cutList(t testing.TB, ex *platformtest.Exchange) string {
	t.Helper()
	_, rest, found := strings.Cut(ex.Text(), "```\n")
	require.True(t, found, "no list in %q", ex.Text())
	list, _, found := strings.Cut(rest, "\n```")
	require.True(t, found, "no end of the list in %q", ex.Text())
	for _, line := range strings.Split(list, "\n") {
		require.LessOrEqual(t, len([]rune(line)), 26, "a line for a narrow screen")
	}
	return list
}

// pictured insists on a picture that can be opened and is described. It may come
// after the words.
func pictured(t testing.TB, ex *platformtest.Exchange) *platformtest.Exchange {
	t.Helper()
	require.NotNil(t, ex.Message, "no message but %q", ex.Text())
	ex = ex.Until("a picture", func(ex *platformtest.Exchange) bool { return len(ex.Message.Files) > 0 })
	shown := 0
	for _, e := range ex.Message.Embeds {
		if e.Image == "" {
			continue
		}
		shown++
		file := ex.File(e.Image)
		require.NotNil(t, file)
		require.NotEmpty(t, file.Alt)
		size, err := png.DecodeConfig(bytes.NewReader(file.Data))
		require.NoError(t, err)
		require.Greater(t, min(size.Width, size.Height), 50)
	}
	require.Positive(t, shown, "no picture in %q", ex.Text())
	return ex
}
