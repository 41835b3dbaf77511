package bot

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"reflect"
	"strings"
	"testing"
	"time"

	"larkfold/bot/fit"
	"larkfold/bot/platformtest"
	"larkfold/commands/reply"

	"github.com/bwmarrin/discordgo"
	"github.com/stretchr/testify/require"
)

// The library keeps a rate-limit bucket for every address it has called, so
// that each interaction would leave some for ever.
func TestP11NoBucketsAreKept(t *testing.T) {
	t.Parallel()
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("X-RateLimit-Remaining", "4")
		w.Header().Set("X-RateLimit-Reset-After", "1")
		_, _ = w.Write([]byte("{}"))
	}))
	defer server.Close()
	client, err := newClient(server.URL)
	require.NoError(t, err)
	session, err := newSession("token", client)
	require.NoError(t, err)
	r := &rest{session: session, timing: Timing{}.withDefaults()}
	for id := range 50 {
		in := &interaction{ID: fmt.Sprint(id), Token: fmt.Sprintf("t%d", id), ApplicationID: "1", received: time.Now(), limiter: discordgo.NewRatelimiter()}
		require.NoError(t, r.answer(context.Background(), in, response{Type: answerDeferred}))
		require.NoError(t, r.edit(context.Background(), in, theAnswer, fit.Sentence("done")))
	}
	buckets := reflect.ValueOf(session.Ratelimiter).Elem().FieldByName("buckets")
	require.Zero(t, buckets.Len())
}

func TestP12RedactorTakesSecretsOut(t *testing.T) {
	t.Parallel()
	redact := newRedactor("MTIz.abc.def")
	for given, want := range map[string]string{
		"plain":            "plain",
		"Bot MTIz.abc.def": "Bot [token]",
		"POST /interactions/123/aW50:x-y_z/callback":                              "POST /interactions/123/[token]/callback",
		`Post "https://discord.com/api/v9/webhooks/9/tok?wait=true": timeout`:     `Post "https://discord.com/api/v9/webhooks/9/[token]?wait=true": timeout`,
		"Rate limit exceeded on https://discord.com/api/v9/webhooks/9/tok, retry": "Rate limit exceeded on https://discord.com/api/v9/webhooks/9/[token] retry",
		`{"id":"1","token":"secret","type":2}`:                                    `{"id":"1","token":"[token]","type":2}`,
		`Token:"MTIz.abc.def", Other:"x"`:                                         `Token:"[token]", Other:"x"`,
	} {
		require.Equal(t, want, redact.text(given))
	}
	err := redact.error(&url.Error{Op: "Post", URL: "https://discord.com/api/v9/interactions/1/tok/callback", Err: errors.New("reset")})
	require.NotContains(t, err.Error(), "tok/")
	require.NoError(t, errors.Unwrap(err), "the cause would carry the secret on")
	require.NoError(t, redact.error(nil))
	require.Equal(t, ExitConfig, redact.error(fmt.Errorf("x: %w", &ExitError{ExitConfig, "y"})).(*ExitError).ExitCode())
}

// The library's own type leaves nothing out and clears what it does not mention.
func TestP19EditsSendTheWholeMessage(t *testing.T) {
	t.Parallel()
	_, raw, err := encode(fit.Sentence("done"), nil)
	require.NoError(t, err)
	require.JSONEq(t, `{"content":"done","embeds":[],"components":[],"attachments":[],"allowed_mentions":{"parse":[],"replied_user":false}}`, string(raw))
}

// A maximum of 0 is never sent by the library; our contract takes 0 for none.
func TestP21BoundsOfNumbers(t *testing.T) {
	t.Parallel()
	for bounds, want := range map[[2]int]string{
		{0, 0}: ``, {1, 40}: `"min_value":1,"max_value":40`, {-5, 0}: `"min_value":-5`, {0, 9}: `"min_value":0,"max_value":9`,
	} {
		o, err := defineOption("/x n", reply.Option{Name: "n", Description: "N.", Kind: reply.Whole, Min: bounds[0], Max: bounds[1]})
		require.NoError(t, err)
		raw, err := json.Marshal(o)
		require.NoError(t, err)
		if want == "" {
			require.NotContains(t, string(raw), "_value")
			continue
		}
		require.Contains(t, string(raw), want)
		require.Equal(t, strings.Count(want, "_value"), strings.Count(string(raw), "_value"))
	}
}

func TestDefinitionsKeepTheLimits(t *testing.T) {
	t.Parallel()
	long := strings.Repeat("x", 101)
	option := func(o reply.Option) []reply.Command {
		return []reply.Command{{Name: "a", Description: "A.", Options: []reply.Option{o}}}
	}
	many := func(n int) []reply.Choice {
		var out []reply.Choice
		for i := range n {
			out = append(out, reply.Choice{Name: fmt.Sprint("n", i), Value: fmt.Sprint(i)})
		}
		return out
	}
	var hundred, sixteen []reply.Command
	for i := range 101 {
		hundred = append(hundred, reply.Command{Name: fmt.Sprint("c", i), Description: "C."})
	}
	for i := range 16 {
		sixteen = append(sixteen, reply.Command{Name: fmt.Sprint("Menu ", i), MessageMenu: true})
	}
	var fat []reply.Option
	for i := range 25 {
		fat = append(fat, reply.Option{Name: fmt.Sprint("o", i), Description: long[:100], Choices: []reply.Choice{
			{Name: long[:90], Value: "1"}, {Name: long[:89], Value: "2"}, {Name: long[:88], Value: "3"}}})
	}
	for want, list := range map[string][]reply.Command{
		"/A: the name must be":             {{Name: "A", Description: "A."}},
		"/a b: the name must be":           {{Name: "a b", Description: "A."}},
		"the description has 0":            {{Name: "a"}},
		"the description has 101":          {{Name: "a", Description: long}},
		"/a is there twice":                {{Name: "a", Description: "A."}, {Name: "a", Description: "B."}},
		"both options and subcommands":     {{Name: "a", Description: "A.", Options: []reply.Option{{Name: "x", Description: "X."}}, Sub: []reply.Command{{Name: "b", Description: "B."}}}},
		"two levels deep":                  {{Name: "a", Description: "A.", Sub: []reply.Command{{Name: "b", Description: "B.", Sub: []reply.Command{{Name: "c", Description: "C.", Sub: []reply.Command{{Name: "d", Description: "D."}}}}}}}},
		"/a b is there twice":              {{Name: "a", Description: "A.", Sub: []reply.Command{{Name: "b", Description: "B."}, {Name: "b", Description: "B."}}}},
		"both a closed list and":           option(reply.Option{Name: "x", Description: "X.", Choices: many(1), Suggest: "knot"}),
		"26 choices":                       option(reply.Option{Name: "x", Description: "X.", Choices: many(26)}),
		`choice "" : name`[:9]:             option(reply.Option{Name: "x", Description: "X.", Choices: []reply.Choice{{Value: "1"}}}),
		`choice "n0" is there twice`:       option(reply.Option{Name: "x", Description: "X.", Choices: append(many(1), many(1)...)}),
		"the value must be a whole number": option(reply.Option{Name: "x", Description: "X.", Kind: reply.Whole, Choices: []reply.Choice{{Name: "a", Value: "b"}}}),
		"a yes-or-no option":               option(reply.Option{Name: "x", Description: "X.", Kind: reply.YesNo, Suggest: "knot"}),
		"at least 9 and at most 3":         option(reply.Option{Name: "x", Description: "X.", Kind: reply.Whole, Min: 9, Max: 3}),
		"101 commands":                     hundred,
		"16 commands on messages":          sixteen,
		"characters in all":                {{Name: "a", Description: "A.", Options: fat}},
		"neither options nor":              {{Name: "M", MessageMenu: true, Options: []reply.Option{{Name: "x"}}}},
		`message menu " M"`:                {{Name: " M", MessageMenu: true}},
	} {
		_, err := define(list, false)
		require.ErrorContains(t, err, want)
	}
	// What is accepted here, the stand-in's own check accepts too.
	list := []reply.Command{{Name: "a", Description: "A.", Options: []reply.Option{
		{Name: "later", Description: "L."}, {Name: "must", Description: "M.", Required: true, Choices: many(25)},
		{Name: "n", Description: "N.", Kind: reply.Whole, Choices: many(2)}}}, {Name: "Size this", MessageMenu: true}}
	for _, inGuild := range []bool{true, false} {
		definitions, err := define(list, inGuild)
		require.NoError(t, err)
		require.Equal(t, "must", definitions[0].Options[0].Name, "required options come first")
		raw, err := json.Marshal(definitions)
		require.NoError(t, err)
		require.Empty(t, platformtest.CheckCommands(raw, inGuild))
	}
}

func TestManagedOnlyAsAWhole(t *testing.T) {
	t.Parallel()
	part := reply.Command{Name: "knots", Description: "K.", Sub: []reply.Command{{Name: "list", Description: "L."}, {Name: "add", Description: "A.", ManageOnly: true}}}
	d, err := defineCommand(part)
	require.NoError(t, err)
	require.Nil(t, d.DefaultMemberPermissions, "listing is for everybody")
	part.Sub[0].ManageOnly = true
	d, err = defineCommand(part)
	require.NoError(t, err)
	require.Equal(t, int64(32), *d.DefaultMemberPermissions)
}

func TestRecentKeepsSoMany(t *testing.T) {
	t.Parallel()
	r := newRecent(3)
	for _, id := range []string{"a", "b", "c"} {
		require.True(t, r.first(id))
	}
	require.False(t, r.first("a"), "the third before is still known")
	require.True(t, r.first("d"))
	require.True(t, r.first("a"), "the fourth before is forgotten")
	require.False(t, r.first("c"))
}

func TestRecentForgetsTheOldest(t *testing.T) {
	t.Parallel()
	r := newRecent(3)
	for _, id := range []string{"a", "b", "c"} {
		require.True(t, r.first(id))
		require.False(t, r.first(id))
	}
	require.True(t, r.first("d"))
	require.False(t, r.first("b"))
	require.True(t, r.first("a"), "the oldest made room")
	require.Len(t, r.known, 3)
}

func TestParseShards(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]Shards{"": {}, "auto": {}, "0/1": {0, 0, 1}, "2/16": {2, 2, 16}, "0-3/16": {0, 3, 16}} {
		s, err := ParseShards(text)
		require.NoError(t, err, text)
		require.Equal(t, want, s)
		if text != "" {
			require.Equal(t, text, s.String())
		}
	}
	for _, text := range []string{"1", "1/1", "3-2/8", "a/2", "-1/2", "0-8/8", "0/0", "1//2", "0-/4", "99999999999/2"} {
		_, err := ParseShards(text)
		require.ErrorContains(t, err, "write auto", text)
	}
	require.Equal(t, [][]int{{0, 1}, {2, 3}, {4}}, Shards{0, 4, 5}.groups(2))
	require.Equal(t, [][]int{{1}, {2, 3}}, Shards{1, 3, 5}.groups(2))
	require.Equal(t, [][]int{{0}, {1}}, Shards{0, 1, 2}.groups(0))
}

func TestRedirectCallsNobodyElse(t *testing.T) {
	t.Parallel()
	client, err := newClient("http://127.0.0.1:1")
	require.NoError(t, err)
	_, err = client.Get("http://example.org/")
	require.ErrorContains(t, err, `refusing to call host "example.org"`)
}

func TestQuotesOfAPastedLineComeOff(t *testing.T) {
	t.Parallel()
	for given, want := range map[string]string{
		`"Tide Line"`: "Tide Line", `“Tide Line”`: "Tide Line", `16"`: `16"`, `"`: `"`, `""`: "", `"a" and "b"`: `"a" and "b"`, `5'`: `5'`, `"16""`: `"16""`,
	} {
		require.Equal(t, want, unquoted(given))
	}
}

func FuzzDecode(f *testing.F) {
	for _, raw := range []string{
		`null`, `{}`, `[]`, `{"id":"1","token":"t","type":2,"data":{"name":"go","type":1},"user":{"id":"5"}}`,
		`{"id":"1","token":"t","type":3,"data":{"custom_id":"lf1|0|1|save||","values":["a"]},"member":{"user":{"id":"5"},"permissions":"32"}}`,
		`{"id":"1","token":"t","type":5,"data":{"custom_id":"lf1|0|1|s||","components":[{"component":{"custom_id":"a","value":"b"}}]},"user":{"id":"5"}}`,
		`{"id":"1","token":"t","type":4,"data":{"name":"a","options":[{"name":"b","type":1,"options":[{"name":"c","type":4,"value":"","focused":true}]}]},"user":{"id":"5"}}`,
	} {
		f.Add([]byte(raw))
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		in, err := decode(raw, time.Now())
		_, _ = in.reference(), in.what()
		if err != nil || in.Type == kindPing {
			return
		}
		_, _ = in.request()
		in.Data.focused()
	})
}

// TestPostsThatThePlatformKeepsPrivate: an application that only the member installed
// may post in a server if the permission to use external apps is granted (topics/permissions).
func TestPostsThatThePlatformKeepsPrivate(t *testing.T) {
	t.Parallel()
	const external = "1125899906842624"
	for name, test := range map[string]struct {
		owners, app, member, guild string
		want                       bool
	}{
		"installed in the server":      {`{"0":"7","1":"5"}`, "0", "2048", `"guild_id":"7",`, false},
		"the member's own":             {`{"1":"5"}`, "0", "2048", `"guild_id":"7",`, true},
		"installed in another server":  {`{"0":"8","1":"5"}`, "0", "2048", `"guild_id":"7",`, true},
		"the member's own, granted":    {`{"1":"5"}`, "0", external, `"guild_id":"7",`, false},
		"the application's, granted":   {`{"1":"5"}`, external, "2048", `"guild_id":"7",`, false},
		"an administrator's":           {`{"1":"5"}`, "0", "8", `"guild_id":"7",`, false},
		"in a private chat":            {`{"1":"5"}`, "0", "0", ``, false},
		"a platform that says nothing": {`{}`, "0", "0", `"guild_id":"7",`, false},
	} {
		in, err := decode(fmt.Appendf(nil, `{"id":"1","application_id":"9","type":2,"token":"t",%s"authorizing_integration_owners":%s,"app_permissions":"%s",`+
			`"data":{"name":"go","type":1},"member":{"user":{"id":"5"},"permissions":"%s"}}`, test.guild, test.owners, test.app, test.member), time.Now())
		require.NoError(t, err, name)
		req, err := in.request()
		require.NoError(t, err)
		require.Equal(t, test.want, req.KeptPrivate, name)
	}
}

func TestWhatIsPickedFromAMenuOfAForm(t *testing.T) {
	t.Parallel()
	fields := map[string]string{}
	collect([]submittedInput{{Component: &submittedInput{CustomID: "knot", Values: []string{"7"}}}, {Component: &submittedInput{CustomID: "rows", Value: "6"}}, {Component: &submittedInput{CustomID: "cord", Values: []string{}}}}, fields)
	require.Equal(t, map[string]string{"knot": "7", "rows": "6", "cord": ""}, fields)
}
