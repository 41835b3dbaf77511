package bot

import (
	"context"
	"crypto/ed25519"
	"encoding/hex"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"strconv"
	"strings"
	"testing"
	"time"

	"larkfold/bot/fit"
	"larkfold/commands/reply"

	"github.com/bwmarrin/discordgo"
	"github.com/stretchr/testify/require"
)

// Both sides of the edges of what the bot takes, waits for and counts.

// The times that a bot keeps to where nothing else is said, beside what the platform
// allows (its documentation: receiving and responding, and the gateway).
func TestTimesThatABotKeepsTo(t *testing.T) {
	t.Parallel()
	const (
		firstAnswer = 3 * time.Second          // an interaction waits so long for its first answer
		token       = 15 * time.Minute         // and may be edited so long
		heartbeat   = 41250 * time.Millisecond // between two heartbeats
		identify    = 5 * time.Second          // between two groups of shards that start
	)
	d := Timing{}.withDefaults()
	require.Equal(t, []time.Duration{firstAnswer, identify}, []time.Duration{d.FirstAnswer, d.Identify})
	require.LessOrEqual(t, 2*d.Acknowledge, firstAnswer, "what is put off leaves half of the time for trying again")
	require.Less(t, d.Work+d.Edit, token, "an answer comes while it may be edited")
	require.Greater(t, d.Read, 2*heartbeat, "one lost heartbeat ends no connection")
	require.Greater(t, d.Silence, 2*d.Read, "a connection may be made again before the process ends")
	require.Less(t, d.Reconnect, d.Identify)
	require.Less(t, d.Stop, 30*time.Second, "TimeoutStopSec of deploy/larkfold.service")
	own := Timing{1, 2, 3, 4, 5, 6, 7, 8, 9}
	require.Equal(t, own, own.withDefaults())
}

// What is as large as the platform allows is defined; what is larger is refused.
func TestDefinitionsAsLargeAsTheyMayBe(t *testing.T) {
	t.Parallel()
	one := reply.Command{Name: "a", Description: "A."}
	with := func(change func(c *reply.Command)) []reply.Command {
		c := one
		change(&c)
		return []reply.Command{c}
	}
	for what, of := range map[string]struct {
		most int
		list func(n int) []reply.Command
	}{
		"commands": {100, func(n int) (list []reply.Command) {
			for i := range n {
				list = append(list, reply.Command{Name: fmt.Sprint("c", i), Description: "C."})
			}
			return list
		}},
		"menus": {15, func(n int) (list []reply.Command) {
			for i := range n {
				list = append(list, reply.Command{Name: fmt.Sprint("Menu ", i), MessageMenu: true})
			}
			return list
		}},
		"characters of a menu's name": {32, func(n int) []reply.Command {
			return []reply.Command{{Name: strings.Repeat("M", n), MessageMenu: true}}
		}},
		"characters of a name": {32, func(n int) []reply.Command {
			return with(func(c *reply.Command) { c.Name = strings.Repeat("a", n) })
		}},
		"characters of a description": {100, func(n int) []reply.Command {
			return with(func(c *reply.Command) { c.Description = strings.Repeat("a", n) })
		}},
		"subcommands": {25, func(n int) []reply.Command {
			return with(func(c *reply.Command) {
				for i := range n {
					c.Sub = append(c.Sub, reply.Command{Name: fmt.Sprint("s", i), Description: "S."})
				}
			})
		}},
		"options": {25, func(n int) []reply.Command {
			return with(func(c *reply.Command) {
				for i := range n {
					c.Options = append(c.Options, reply.Option{Name: fmt.Sprint("o", i), Description: "O."})
				}
			})
		}},
		"choices": {25, func(n int) []reply.Command {
			o := reply.Option{Name: "o", Description: "O."}
			for i := range n {
				o.Choices = append(o.Choices, reply.Choice{Name: fmt.Sprint("n", i), Value: fmt.Sprint(i)})
			}
			return with(func(c *reply.Command) { c.Options = []reply.Option{o} })
		}},
		"characters of a choice's name": {100, func(n int) []reply.Command {
			return with(func(c *reply.Command) {
				c.Options = []reply.Option{{Name: "o", Description: "O.", Choices: []reply.Choice{{Name: strings.Repeat("n", n), Value: "v"}}}}
			})
		}},
		"characters of a choice's value": {100, func(n int) []reply.Command {
			return with(func(c *reply.Command) {
				c.Options = []reply.Option{{Name: "o", Description: "O.", Choices: []reply.Choice{{Name: "n", Value: strings.Repeat("v", n)}}}}
			})
		}},
		// 8000 are 3 of the command, 24 times 298 of an option with its choices, 754 of the
		// last one without its description, and 91 for that.
		"characters in all": {91, func(n int) []reply.Command {
			option := func(name, description string, choices, long int) reply.Option {
				o := reply.Option{Name: name, Description: description}
				for i := range choices {
					o.Choices = append(o.Choices, reply.Choice{Name: fmt.Sprint(i, strings.Repeat("n", long-1)), Value: fmt.Sprint(i)})
				}
				return o
			}
			return with(func(c *reply.Command) {
				for i := range 24 {
					c.Options = append(c.Options, option(fmt.Sprint("o", string(rune('a'+i))), "O.", 3, 97))
				}
				c.Options = append(c.Options, option("oz", strings.Repeat("d", n), 8, 93))
			})
		}},
	} {
		_, err := define(of.list(of.most), true)
		require.NoError(t, err, what)
		_, err = define(of.list(of.most+1), true)
		require.Error(t, err, "%s: %d", what, of.most+1)
	}
	deep := func(levels int) []reply.Command {
		c := reply.Command{Name: "deep", Description: "D."}
		for range levels {
			c = reply.Command{Name: "a", Description: "A.", Sub: []reply.Command{c}}
		}
		return []reply.Command{c}
	}
	_, err := define(deep(2), true)
	require.NoError(t, err)
	_, err = define(deep(3), true)
	require.Error(t, err)
	for _, bounds := range [][2]int{{3, 3}, {3, 0}, {-3, 0}} { // 0 is no most
		_, err := define(with(func(c *reply.Command) {
			c.Options = []reply.Option{{Name: "n", Description: "N.", Kind: reply.Whole, Min: bounds[0], Max: bounds[1]}}
		}), true)
		require.NoError(t, err, bounds)
	}
}

// Every difference that a member would see has the commands written anew.
func TestWhatChangesACommand(t *testing.T) {
	t.Parallel()
	define := func(change func(c *reply.Command)) []*discordgo.ApplicationCommand {
		c := reply.Command{Name: "a", Description: "A.", Options: []reply.Option{
			{Name: "n", Description: "N.", Kind: reply.Whole, Min: 1, Max: 9},
			{Name: "w", Description: "W.", Choices: []reply.Choice{{Name: "one", Value: "1"}}},
		}}
		if change != nil {
			change(&c)
		}
		definitions, err := define([]reply.Command{c}, false)
		require.NoError(t, err)
		return definitions
	}
	require.True(t, compare(define(nil), define(nil), false).Same())
	for what, change := range map[string]func(c *reply.Command){
		"the description":       func(c *reply.Command) { c.Description = "B." },
		"who may use it":        func(c *reply.Command) { c.ManageOnly = true },
		"the least":             func(c *reply.Command) { c.Options[0].Min = 2 },
		"the most":              func(c *reply.Command) { c.Options[0].Max = 8 },
		"that it must be given": func(c *reply.Command) { c.Options[0].Required = true },
		"a choice's name":       func(c *reply.Command) { c.Options[1].Choices[0].Name = "two" },
		"a choice's value":      func(c *reply.Command) { c.Options[1].Choices[0].Value = "2" },
		"completion":            func(c *reply.Command) { c.Options[1].Choices, c.Options[1].Suggest = nil, "knot" },
	} {
		require.Equal(t, Registration{Changed: []string{"/a"}}, compare(define(change), define(nil), false), what)
	}
	// Lengths that somebody else has set are taken back.
	for _, set := range []func(o *discordgo.ApplicationCommandOption){
		func(o *discordgo.ApplicationCommandOption) { least := 1; o.MinLength = &least },
		func(o *discordgo.ApplicationCommandOption) { o.MaxLength = 9 },
		func(o *discordgo.ApplicationCommandOption) {
			o.NameLocalizations = map[discordgo.Locale]string{discordgo.German: "w"}
		},
	} {
		there := define(nil)
		set(there[0].Options[1])
		require.Equal(t, Registration{Changed: []string{"/a"}}, compare(define(nil), there, false))
	}
}

func TestIDsAndTokensThatCanBeAnswered(t *testing.T) {
	t.Parallel()
	for _, test := range []struct {
		id, token string
		kind      int
		want      bool
	}{
		{"1", "t", kindCommand, true},
		{strings.Repeat("9", 20), "t", kindForm, true},
		{strings.Repeat("9", 21), "t", kindForm, false},
		{"1", strings.Repeat("t", 1024), kindCommand, true},
		{"1", strings.Repeat("t", 1025), kindCommand, false},
		{"1", "azAZ09_.=:-", kindCommand, true},
		{"09", "t", kindCommand, true},
		{"1", "t", kindPing, false}, {"1", "t", kindForm + 1, false}, {"", "t", kindCommand, false}, {"1", "", kindCommand, false},
		{"1/", "t", kindCommand, false}, {"1:", "t", kindCommand, false}, // the neighbours of 0 and 9
		{"1", "`", kindCommand, false}, {"1", "{", kindCommand, false}, {"1", "@", kindCommand, false}, {"1", "[", kindCommand, false}, {"1", "/", kindCommand, false},
	} {
		in := &interaction{ID: test.id, Token: test.token, Type: test.kind}
		require.Equal(t, test.want, in.answerable(), "%.30q %.30q %d", test.id, test.token, test.kind)
	}
}

func TestFileLimitOfAnInteraction(t *testing.T) {
	t.Parallel()
	for named, want := range map[int]int{-1: 10 << 20, 0: 10 << 20, 1: 1, 25 << 20: 25 << 20} {
		require.Equal(t, want, (&interaction{AttachmentSizeLimit: named}).fileLimit(), named)
	}
}

// A signed request may be five minutes old, or young, and not a nanosecond more.
func TestHowStaleARequestMayBe(t *testing.T) {
	t.Parallel()
	public, private, err := ed25519.GenerateKey(nil)
	require.NoError(t, err)
	b := &Bot{publicKey: public}
	const second = 1_790_000_000
	body, stamp := []byte(`{"type":1}`), strconv.Itoa(second)
	header := http.Header{}
	header.Set("X-Signature-Timestamp", stamp)
	header.Set("X-Signature-Ed25519", hex.EncodeToString(ed25519.Sign(private, append([]byte(stamp), body...))))
	for age, want := range map[time.Duration]string{
		5 * time.Minute: "", -5 * time.Minute: "", 5*time.Minute + 1: "the timestamp is stale", -5*time.Minute - 1: "the timestamp is stale",
	} {
		require.Equal(t, want, b.verify(header, body, time.Unix(second, 0).Add(age)), age)
	}
}

// Large pictures, those of more than eight of the usual size, count apart.
func TestLargePicturesCountApart(t *testing.T) {
	t.Parallel()
	var held heldBy
	require.Same(t, &held.small, held.of(8*usualSize))
	require.Same(t, &held.large, held.of(8*usualSize+1))
}

func TestALaneWithoutMemoryCountsNone(t *testing.T) {
	t.Parallel()
	l := newLane("desk", 2, 9, time.Hour)
	for range 2 {
		_, err := l.join(task{member: "ana", bytes: 1 << 40})
		require.NoError(t, err)
	}
	require.Len(t, l.busy, 2)
}

// refusing is a way out that answers with one error after the other.
type refusing struct{ errs []error }

func (r *refusing) answer(context.Context, *interaction, response) error {
	err := r.errs[0]
	r.errs = r.errs[1:]
	return err
}

func (r *refusing) takesFiles() bool { return true }

// What becomes of an answer that the platform does not take is told as it is.
func TestOutcomesOfAnswersThatAreRefused(t *testing.T) {
	t.Parallel()
	d := &dispatcher{log: slog.New(slog.DiscardHandler)}
	in := &interaction{ID: "1", received: time.Now()}
	invalid := &discordgo.RESTError{Response: &http.Response{StatusCode: http.StatusBadRequest}, Message: &discordgo.APIErrorMessage{Code: codeInvalidBody}}
	late := &discordgo.RESTError{Response: &http.Response{StatusCode: http.StatusNotFound}, Message: &discordgo.APIErrorMessage{Code: codeUnknownInteraction}}
	gone := errors.New("no way through")
	for _, test := range []struct {
		errs []error
		want outcome
	}{
		{[]error{nil}, outcomeAnswered},
		{[]error{gone}, outcomeUnsent},
		{[]error{late}, outcomeTooLate},
		{[]error{invalid, nil}, outcomeFault}, // an apology is taken
		{[]error{invalid, gone}, outcomeUnsent},
		{[]error{invalid, late}, outcomeTooLate},
	} {
		r := result{message: fit.Sentence("words"), outcome: outcomeAnswered}
		via := &refusing{test.errs}
		require.Equal(t, test.want, d.answer(t.Context(), in, r, via))
		require.Empty(t, via.errs)
	}
	require.Equal(t, outcomeStale, d.say(t.Context(), in, &refusing{[]error{nil}}, sayStale, outcomeStale))
	require.Equal(t, outcomeUnsent, d.say(t.Context(), in, &refusing{[]error{gone}}, sayStale, outcomeStale))
	require.Equal(t, outcomeTooLate, d.say(t.Context(), in, &refusing{[]error{late}}, sayStale, outcomeStale))
}

// What a retry may cure, by what went wrong.
func TestWhatIsTriedAgain(t *testing.T) {
	t.Parallel()
	calls := 0
	failing := func(status int) func() error {
		return func() error {
			if calls++; calls == 1 {
				return &discordgo.RESTError{Response: &http.Response{StatusCode: status}}
			}
			return nil
		}
	}
	for status, again := range map[int]bool{400: false, 404: false, 499: false, 500: true, 503: true} {
		calls = 0
		err := (&rest{}).retry(t.Context(), time.Millisecond, time.Minute, failing(status))
		require.Equal(t, again, err == nil, status)
		require.Equal(t, map[bool]int{true: 2, false: 1}[again], calls, status)
	}
}

// A retry that has no time left is none.
func TestRetriesEnd(t *testing.T) {
	t.Parallel()
	calls := 0
	err := (&rest{}).retry(t.Context(), time.Millisecond, 0, func() error { calls++; return temporary{errors.New("no answer")} })
	require.EqualError(t, err, "no answer")
	require.Equal(t, 1, calls)
}
