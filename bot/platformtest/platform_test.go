package platformtest

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"
	"github.com/stretchr/testify/require"
)

// A lax stand-in proves nothing: what the platform documents to refuse is
// refused here, and the same with the last bit taken off is taken.

func parse(t *testing.T, raw string) map[string]any {
	t.Helper()
	var m map[string]any
	require.NoError(t, json.Unmarshal([]byte(raw), &m), raw)
	return m
}

const quiet = `,"allowed_mentions":{"parse":[]}}`

func message(body string) string { return "{" + body + quiet }

func repeat(n int, item func(i int) string) string {
	items := make([]string, n)
	for i := range items {
		items[i] = item(i)
	}
	return "[" + strings.Join(items, ",") + "]"
}

func x(n int) string { return strings.Repeat("x", n) }

func button(id string) string {
	return fmt.Sprintf(`{"type":2,"style":2,"label":"l","custom_id":%q}`, id)
}

func row(inside string) string { return `{"type":1,"components":` + inside + `}` }

func TestMessagesThatAreRefused(t *testing.T) {
	t.Parallel()
	oneEach := func(n int) string {
		return repeat(n, func(i int) string { return row("[" + button(fmt.Sprint(i)) + "]") })
	}
	for want, test := range map[string][2]string{ // refused, taken
		"content: must be 0 to 2000":       {`"content":"` + x(2001) + `"`, `"content":"` + x(2000) + `"`},
		"cannot send an empty message":     {`"content":" "`, `"content":"."`},
		"embeds: must be 10 or fewer":      {`"embeds":` + repeat(11, func(int) string { return `{"title":"a"}` }), `"embeds":` + repeat(10, func(int) string { return `{"title":"a"}` })},
		"title: must be 0 to 256":          {`"embeds":[{"title":"` + x(257) + `"}]`, `"embeds":[{"title":"` + x(256) + `"}]`},
		"description: must be 0 to 4096":   {`"embeds":[{"description":"` + x(4097) + `"}]`, `"embeds":[{"description":"` + x(4096) + `"}]`},
		"exceeds the maximum of 6000":      {`"embeds":[{"description":"` + x(4000) + `"},{"description":"` + x(2001) + `"}]`, `"embeds":[{"description":"` + x(4000) + `"},{"description":"` + x(2000) + `"}]`},
		"embeds[0]: is empty":              {`"embeds":[{"description":"  "}]`, `"embeds":[{"description":"a"}]`},
		"is not a file of this message":    {`"embeds":[{"title":"a","image":{"url":"attachment://a.png"}}]`, `"embeds":[{"title":"a"}]`},
		"fields: must be 25 or fewer":      {`"embeds":[{"fields":` + repeat(26, func(int) string { return `{"name":"a","value":"b"}` }) + `}]`, `"embeds":[{"fields":[{"name":"a","value":"b"}]}]`},
		"components: must be 5 or fewer":   {`"content":"a","components":` + oneEach(6), `"content":"a","components":` + oneEach(5)},
		"must be 1 to 5, are 6":            {`"content":"a","components":[` + row(repeat(6, func(i int) string { return button(fmt.Sprint(i)) })) + `]`, `"content":"a","components":[` + row(repeat(5, func(i int) string { return button(fmt.Sprint(i)) })) + `]`},
		"must be 1 to 5, are 0":            {`"content":"a","components":[` + row(`[]`) + `]`, `"content":"a","components":[]`},
		"custom id cannot be duplicated":   {`"content":"a","components":[` + row(`[`+button("a")+`,`+button("a")+`]`) + `]`, `"content":"a","components":[` + row(`[`+button("a")+`,`+button("b")+`]`) + `]`},
		"custom_id: must be 1 to 100":      {`"content":"a","components":[` + row(`[`+button(x(101))+`]`) + `]`, `"content":"a","components":[` + row(`[`+button(x(100))+`]`) + `]`},
		"a menu needs a row of its own":    {`"content":"a","components":[` + row(`[`+button("a")+`,`+menu(1)+`]`) + `]`, `"content":"a","components":[` + row(`[`+menu(1)+`]`) + `]`},
		"options: must be 1 to 25, are 26": {`"content":"a","components":[` + row(`[`+menu(26)+`]`) + `]`, `"content":"a","components":[` + row(`[`+menu(25)+`]`) + `]`},
		"options: must be 1 to 25, are 0":  {`"content":"a","components":[` + row(`[`+menu(0)+`]`) + `]`, `"content":"a"`},
		"option value is already used": {`"content":"a","components":[` + row(`[{"type":3,"custom_id":"m","options":[{"label":"a","value":"v"},{"label":"b","value":"v"}]}]`) + `]`,
			`"content":"a","components":[` + row(`[{"type":3,"custom_id":"m","options":[{"label":"a","value":"v"},{"label":"b","value":"w"}]}]`) + `]`},
		"must be an action row":                   {`"content":"a","components":[` + button("a") + `]`, `"content":"a"`},
		"components v2 take neither":              {`"content":"a","flags":32768`, `"flags":32768,"components":[{"type":10,"content":"a"}]`},
		"must be 40 or fewer in all":              {`"flags":32768,"components":` + repeat(41, func(int) string { return `{"type":10,"content":"a"}` }), `"flags":32768,"components":` + repeat(40, func(int) string { return `{"type":10,"content":"a"}` })},
		"flags: 2 cannot be set":                  {`"content":"a","flags":2`, `"content":"a","flags":64`},
		"attachments: 1 are described":            {`"content":"a","attachments":[{"id":"0","filename":"a"}]`, `"content":"a","attachments":[]`},
		"label: must be 1 to 80 in length, is 81": {`"content":"a","components":[` + row(`[{"type":2,"style":1,"custom_id":"a","label":"`+x(81)+`"}]`) + `]`, `"content":"a","components":[` + row(`[{"type":2,"style":1,"custom_id":"a","label":"`+x(80)+`"}]`) + `]`},
		"label: must be 1 to 80 in length, is 0":  {`"content":"a","components":[` + row(`[{"type":2,"style":1,"custom_id":"a"}]`) + `]`, `"content":"a","components":[` + row(`[{"type":2,"style":1,"custom_id":"a","emoji":{"name":"🧶"}}]`) + `]`},
		"style: must be a whole number":           {`"content":"a","components":[` + row(`[{"type":2,"style":7,"custom_id":"a","label":"a"}]`) + `]`, `"content":"a","components":[` + row(`[{"type":2,"style":4,"custom_id":"a","label":"a"}]`) + `]`},
		"type: 4 does not belong":                 {`"content":"a","components":[` + row(`[{"type":4,"custom_id":"a"}]`) + `]`, `"content":"a"`},
		"placeholder: must be 0 to 150":           {`"content":"a","components":[` + row(`[{"type":3,"custom_id":"m","placeholder":"`+x(151)+`","options":[{"label":"a","value":"v"}]}]`) + `]`, `"content":"a"`},
		"label: is blank":                         {`"content":"a","components":[` + row(`[{"type":2,"style":1,"custom_id":"a","label":" "}]`) + `]`, `"content":"a"`},
		"1 to 2 of 1 options cannot be chosen":    {`"content":"a","components":[` + row(`[{"type":3,"custom_id":"m","max_values":2,"options":[{"label":"a","value":"v"}]}]`) + `]`, `"content":"a","components":[` + row(`[{"type":3,"custom_id":"m","max_values":1,"options":[{"label":"a","value":"v"}]}]`) + `]`},
		"2 to 1 of 2 options cannot be chosen":    {`"content":"a","components":[` + row(`[{"type":3,"custom_id":"m","min_values":2,"options":[{"label":"a","value":"v"},{"label":"b","value":"w"}]}]`) + `]`, `"content":"a","components":[` + row(`[{"type":3,"custom_id":"m","min_values":2,"max_values":2,"options":[{"label":"a","value":"v"},{"label":"b","value":"w"}]}]`) + `]`},
		"2 are chosen from the start, 1 can be":   {`"content":"a","components":[` + row(`[{"type":3,"custom_id":"m","options":[{"label":"a","value":"v","default":true},{"label":"b","value":"w","default":true}]}]`) + `]`, `"content":"a","components":[` + row(`[{"type":3,"custom_id":"m","options":[{"label":"a","value":"v","default":true},{"label":"b","value":"w"}]}]`) + `]`},
		"name: must be 1 to 256":                  {`"embeds":[{"fields":[{"name":"","value":"b"}]}]`, `"content":"a"`},
	} {
		require.Contains(t, strings.Join(CheckMessage(parse(t, message(test[0])), nil, 100), "\n"), want)
		require.Empty(t, CheckMessage(parse(t, message(test[1])), nil, 100), want)
	}
	require.Contains(t, CheckMessage(parse(t, `{"content":"a"}`), nil, 100)[0], "could ping")
	require.Contains(t, CheckMessage(parse(t, `{"content":"a","allowed_mentions":{"parse":["users"]}}`), nil, 100)[0], "could ping")
	require.Contains(t, CheckMessage(nil, nil, 100)[0], "there is none")

	described := parse(t, message(`"attachments":[{"id":"0","filename":"a","description":"A"}]`))
	require.Empty(t, CheckMessage(described, []File{{Name: "a", Data: make([]byte, 100)}}, 100))
	require.Contains(t, CheckMessage(described, []File{{Name: "a", Data: make([]byte, 101)}}, 100)[0], "too large")
	require.Contains(t, CheckMessage(described, []File{{Name: "b"}}, 100)[0], "not described")
	files, names := func(n int) []File { return slices.Repeat([]File{{}}, n) }, func(n int) map[string]any {
		return parse(t, message(`"attachments":`+repeat(n, func(i int) string { return fmt.Sprintf(`{"id":"%d","filename":"f%d"}`, i, i) })))
	}
	for n := range 12 {
		all := files(n)
		for i := range all {
			all[i].Name = fmt.Sprint("f", i)
		}
		if faults := CheckMessage(names(n), all, 100); n > 10 {
			require.Contains(t, faults[0], "must be 10 or fewer")
		} else if n > 0 {
			require.Empty(t, faults)
		}
	}
}

func menu(options int) string {
	return `{"type":3,"custom_id":"m","options":` + repeat(options, func(i int) string { return fmt.Sprintf(`{"label":"a","value":"%d"}`, i) }) + `}`
}

func TestFirstAnswersThatAreRefused(t *testing.T) {
	t.Parallel()
	input := func(id, more string) string {
		return `{"type":18,"label":"l","component":{"type":4,"style":1,"custom_id":"` + id + `"` + more + `}}`
	}
	modal := func(title, parts string) string {
		return `{"type":9,"data":{"title":"` + title + `","custom_id":"m","components":` + parts + `}}`
	}
	for _, test := range []struct {
		kind  int
		raw   string
		wants string
	}{
		{2, `{"type":5}`, ""},
		{2, `{"type":5,"data":{"flags":64}}`, ""},
		{2, `{"type":5,"data":{"flags":32768}}`, "only the ephemeral flag"},
		{2, `{"type":5,"data":{"content":"a"}}`, "a deferral takes only flags"},
		{2, `{"type":7,"data":{}}`, "no answer to an interaction of kind 2"},
		{4, `{"type":4,"data":{}}`, "no answer to an interaction of kind 4"},
		{4, `{"type":8,"data":{"choices":[]}}`, ""},
		{4, `{"type":8,"data":{"choices":null}}`, "must be a list"},
		{4, `{"type":8,"data":{"choices":` + repeat(26, func(i int) string { return fmt.Sprintf(`{"name":"%d","value":"v"}`, i) }) + `}}`, "25 or fewer"},
		{4, `{"type":8,"data":{"choices":[{"name":"","value":"v"}]}}`, "must be 1 to 100"},
		{4, `{"type":8,"data":{"choices":[{"name":"a","value":"` + x(101) + `"}]}}`, "must be 0 to 100"},
		{5, modal("t", `[`+input("a", "")+`]`), "no answer to an interaction of kind 5"},
		{3, modal("t", `[`+input("a", "")+`]`), ""},
		{2, modal("t", `[{"type":1,"components":[{"type":4,"style":2,"custom_id":"a","label":"old"}]}]`), ""},
		{2, modal("", `[`+input("a", "")+`]`), "title: must be 1 to 45"},
		{2, modal(x(46), `[`+input("a", "")+`]`), "title: must be 1 to 45"},
		{2, modal("t", `[]`), "must be 1 to 5"},
		{2, modal("t", repeat(6, func(i int) string { return input(fmt.Sprint(i), "") })), "must be 1 to 5"},
		{2, modal("t", `[`+input("a", "")+`,`+input("a", "")+`]`), "cannot be duplicated"},
		{2, modal("t", `[`+input("a", `,"value":"abc","max_length":2`)+`]`), "value: must be 0 to 2"},
		{2, modal("t", `[`+input("a", `,"max_length":4001`)+`]`), "max_length: must be a whole number from 1 to 4000"},
		{2, modal("t", `[`+input("a", `,"placeholder":"`+x(101)+`"`)+`]`), "placeholder: must be 0 to 100"},
		{2, modal("t", `[`+input("a", `,"min_length":11,"max_length":10`)+`]`), "11 is more than the 10 that fit"},
		{2, modal("t", `[`+input("a", `,"min_length":10,"max_length":10`)+`]`), ""},
		{2, modal("t", `[`+strings.Replace(input("a", ""), `"l"`, `"`+x(46)+`"`, 1)+`]`), "label: must be 1 to 45"},
		{2, modal("t", `[`+strings.Replace(input("a", ""), `"l"`, `"`+x(45)+`"`, 1)+`]`), ""},
		{2, modal("t", `[{"type":2}]`), "does not belong in a form"},
	} {
		faults := strings.Join(CheckAnswer(test.kind, parse(t, test.raw)), "\n")
		if test.wants == "" {
			require.Empty(t, faults, test.raw)
			continue
		}
		require.Contains(t, faults, test.wants, test.raw)
	}
}

func TestCommandsThatAreRefused(t *testing.T) {
	t.Parallel()
	command := func(more string) string { return `[{"name":"a","description":"d"` + more + `}]` }
	option := func(more string) string { return command(`,"options":[{"name":"o","description":"d"` + more + `}]`) }
	for raw, want := range map[string]string{
		`null`:                               "not null",
		`[]`:                                 "",
		command(``):                          "",
		`[{"name":"A","description":"d"}]`:   "is no name for a command",
		`[{"name":"a b","description":"d"}]`: "is no name for a command",
		`[{"name":"` + x(33) + `","description":"d"}]`: "must be 1 to 32",
		`[{"name":"a"}]`: "description: must be 1 to 100",
		`[{"name":"a","description":"d"},{"name":"a","description":"d"}]`: "must be unique",
		`[{"name":"a","description":"d"},{"type":3,"name":"a"}]`:          "",
		`[{"type":3,"name":"Size it","description":"d"}]`:                 "description: must be 0 to 0",
		command(`,"default_member_permissions":32`):                       "must be a text",
		option(`,"type":3`): "",
		option(`,"type":3,"autocomplete":true,"choices":[{"name":"a","value":"b"}]`):                                                   "exclude each other",
		option(`,"type":5,"autocomplete":true`):                                                                                        "has no autocomplete",
		option(`,"type":3,"min_value":1`):                                                                                              "has no bounds",
		option(`,"type":4,"min_value":3,"max_value":1`):                                                                                "min_value above max_value",
		option(`,"type":4,"choices":[{"name":"a","value":"b"}]`):                                                                       "is not a number",
		option(`,"type":3,"choices":[{"name":"a","value":"b"},{"name":"a","value":"c"}]`):                                              "is there twice",
		option(`,"type":1,"options":[{"name":"p","description":"d","type":2}]`):                                                        "does not belong here",
		option(`,"type":3},{"name":"p","description":"d","type":3,"required":true`):                                                    "must be placed before",
		option(`,"type":3},{"name":"o","description":"d","type":3`):                                                                    "option name is there twice",
		option(`,"type":3},{"name":"p","description":"d","type":1`):                                                                    "exclude each other",
		command(`,"options":` + repeat(26, func(i int) string { return fmt.Sprintf(`{"name":"o%d","description":"d","type":3}`, i) })): "25 or fewer",
		repeat(101, func(i int) string { return fmt.Sprintf(`{"name":"c%d","description":"d"}`, i) }):                                  "too many commands",
		command(`,"options":` + repeat(25, func(i int) string {
			return fmt.Sprintf(`{"name":"o%d","description":"%s","type":3,"choices":%s}`, i, x(100), repeat(3, func(j int) string { return fmt.Sprintf(`{"name":"%s%d","value":"v"}`, x(80), j) }))
		})): "maximum of 8000",
	} {
		faults := strings.Join(CheckCommands([]byte(raw), false), "\n")
		if want == "" {
			require.Empty(t, faults, raw)
			continue
		}
		require.Contains(t, faults, want, raw)
	}
	require.NotEmpty(t, CheckCommands([]byte(command(`,"contexts":[0]`)), true))
	require.Empty(t, CheckCommands([]byte(command(`,"contexts":[0]`)), false))
}

// recorder takes what a test would report, so that a failing test can be tested.
type recorder struct {
	testing.TB
	errors []string
	ends   []func()
}

func (r *recorder) Helper()          {}
func (r *recorder) Cleanup(f func()) { r.ends = append(r.ends, f) }
func (r *recorder) Errorf(format string, args ...any) {
	r.errors = append(r.errors, fmt.Sprintf(format, args...))
}

func TestTheStandInObjects(t *testing.T) {
	t.Parallel()
	r := &recorder{TB: t}
	p := Start(r, Options{})
	send := func(method, path, body string) int {
		req, err := http.NewRequest(method, p.URL+path, bytes.NewReader([]byte(body)))
		require.NoError(t, err)
		req.Header.Set("Authorization", "Bot "+p.Token)
		req.Header.Set("Content-Type", "application/json")
		resp, err := http.DefaultClient.Do(req)
		require.NoError(t, err)
		require.NoError(t, resp.Body.Close())
		return resp.StatusCode
	}
	require.Equal(t, 404, send("GET", "/api/v9/users/@me", ""))
	require.Equal(t, 404, send("POST", "/api/v9/interactions/1/t/callback", `{"type":5}`))
	require.Equal(t, 404, send("PATCH", "/api/v9/webhooks/"+p.ApplicationID+"/t/messages/@original", message(`"content":"a"`)))
	require.Equal(t, 400, send("PUT", "/api/v9/applications/"+p.ApplicationID+"/commands", `null`))
	require.Equal(t, 200, send("PUT", "/api/v9/applications/"+p.ApplicationID+"/commands", `[{"name":"go","description":"d"}]`))

	// The bot: a socket that identifies and then does as told here.
	identify := func(token string) *websocket.Conn {
		socket, _, err := websocket.DefaultDialer.Dial(p.socketURL()+"/?v=9&encoding=json", nil)
		require.NoError(t, err)
		require.NoError(t, socket.WriteJSON(map[string]any{"op": 2, "d": map[string]any{"token": token, "intents": 0, "properties": map[string]any{}}}))
		return socket
	}
	wrong := identify("Bot wrong")
	for {
		if _, _, err := wrong.ReadMessage(); err != nil {
			require.True(t, websocket.IsCloseError(err, 4004))
			break
		}
	}
	socket := identify("Bot " + p.Token)
	defer func() { _ = socket.Close() }()
	p.WaitReady(1)
	ana := p.Member("ana")
	callback := func(ex *Exchange) string {
		return "/api/v9/interactions/" + ex.ID + "/stand-in-interaction-token-" + ex.ID + "/callback"
	}

	twice := ana.Type("/go")
	require.Equal(t, 404, send("POST", strings.Replace(callback(twice), "token", "tokem", 1), `{"type":5}`), "a wrong token")
	require.Equal(t, 400, send("POST", callback(twice), `{"type":4,"data":{"content":""}}`), "an empty message")
	require.Equal(t, 204, send("POST", callback(twice), `{"type":5}`))
	require.Equal(t, 400, send("POST", callback(twice), `{"type":5}`), "the same once more, as it may come")
	p.mu.Lock()
	require.NotContains(t, strings.Join(p.violations, "\n"), "acknowledged twice")
	p.mu.Unlock()
	require.Equal(t, 400, send("POST", callback(twice), `{"type":5,"data":{"flags":64}}`), "a second answer")
	late := ana.Late(time.Hour).Type("/go")
	never := ana.Type("/go")
	require.Equal(t, 404, send("POST", callback(late), `{"type":5}`), "too late")
	early := "/api/v9/webhooks/" + p.ApplicationID + "/stand-in-interaction-token-" + never.ID + "/messages/@original"
	require.Equal(t, 404, send("PATCH", early, message(`"content":"a"`)), "nothing to edit yet")

	for _, end := range r.ends {
		end()
	}
	all := strings.Join(r.errors, "\n")
	for _, want := range []string{
		"unexpected request GET /api/v9/users/@me", "commands refused: the command list must be a list", "acknowledged twice",
		"answer to " + twice.ID + " refused", "interaction " + late.ID + " was never answered", "interaction " + never.ID + " was never answered",
	} {
		require.Contains(t, all, want)
	}
}
