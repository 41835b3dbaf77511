package main

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"larkfold/bot/platformtest"
	"larkfold/commands/reply"

	"github.com/stretchr/testify/require"
)

// secrets are words that only the owner's records hold. The others are names that
// the intruders guess.
var (
	secretNames = []string{"Quillwort", "Sedgewren", "Whelkrule"}
	secretWords = []string{"thimbleberry", "moonmilk", "gannet", "limpetbox", "saltmarsh", "oystercord", "7.77*", "periwinkle", "37 %"}
)

// owner makes one record of every kind that is private, and notes everything
// that the answers showed and offered.
type owner struct {
	*platformtest.Member
	seen    strings.Builder
	buttons []string
	menus   []platformtest.Menu
	forms   []*platformtest.Modal
}

func (o *owner) note(ex *platformtest.Exchange) *platformtest.Exchange {
	o.seen.WriteString(everything(ex))
	if ex.Modal != nil {
		o.forms = append(o.forms, ex.Modal)
	}
	if ex.Message != nil {
		for _, b := range ex.Message.Buttons {
			o.buttons = append(o.buttons, b.ID)
		}
		o.menus = append(o.menus, ex.Message.Menus...)
	}
	return ex
}

func (o *owner) types(line string) *platformtest.Exchange { return o.note(o.Slash(line)) }

// everything is all that can be read in an answer, files and controls included.
func everything(ex *platformtest.Exchange) string {
	var b strings.Builder
	b.WriteString(plain(ex))
	for _, m := range append([]*platformtest.Message{ex.Message}, ex.FollowUps...) {
		if m == nil {
			continue
		}
		fmt.Fprintln(&b, m.Text(), m.Buttons, m.Menus)
		for _, f := range m.Files {
			fmt.Fprintln(&b, f.Name, f.Alt)
			if strings.HasSuffix(f.Name, ".txt") || strings.HasSuffix(f.Name, ".json") {
				b.Write(f.Data)
			}
		}
	}
	if ex.Modal != nil {
		for _, f := range ex.Modal.Fields {
			fmt.Fprintln(&b, ex.Modal.Title, f.Label, f.Value, f.Placeholder)
		}
	}
	for _, c := range ex.Choices {
		fmt.Fprintln(&b, c.Name, c.Value)
	}
	return b.String()
}

const secretSheet = `# thimbleberry
piece Quillwort
cord moonmilk 4 mm single-strand, spool 50 m
dowel 30 cm x 20 mm

panel gannet
  mount 12 folded
  net square rows 6
  tail 20 cm
`

func secretly(t testing.TB, s *stage) *owner {
	t.Helper()
	o := &owner{Member: s.Member("Odile")}
	says(t, o.types("/prefs margin:37"), "37 %")
	saved := o.types("/project new name:Quillwort sheet:" + secretSheet)
	o.note(o.Click(saved, "see the sheet"))
	o.note(o.Click(saved, "in my cord"))
	form := o.note(o.Click(saved, "edit"))
	faulty := o.note(o.Submit(form, map[string]string{"sheet": strings.Replace(secretSheet, "net square", "nett square", 1)}))
	o.note(o.Click(faulty, "mend it"))
	o.types("/project edit name:Quillwort")
	o.types("/project new name:Saltings")
	o.types("/project show name:Quillwort written:yes")
	o.types("/project resize name:Quillwort drop:60cm")
	o.note(o.Click(o.types("/cord width:20cm drop:40cm"), "save it"))
	shared := o.types("/project share name:Quillwort")
	o.note(o.Click(shared, "in my cord"))
	o.types("/project unshare name:Quillwort")
	o.types("/project copy name:Quillwort to:Sedgewren")
	o.types("/project delete name:Sedgewren")
	o.types(`/shelf add pieces:"45cm x12, 2 spools 50m" cord:"4 mm saltmarsh" note:limpetbox`)
	o.types("/shelf list")
	o.types("/plan project:Quillwort spool:50m")
	o.types("/plan pieces:3 x 40cm cord:4 mm saltmarsh")
	o.types(`/swatch add knot:"square knot" count:10 before:140cm after:46cm sample:12cm thickness:4mm cord:oystercord`)
	o.types(`/rule add name:Whelkrule formula:"7.77*finished" source:periwinkle`)
	o.types("/rule show name:Whelkrule")
	o.types("/swatch list")
	all, err := unzip(o.types("/mydata export").File("larkfold-mydata-1.zip").Data)
	require.NoError(t, err)
	o.seen.Write(all)
	for _, secret := range slices.Concat(secretNames, secretWords) {
		require.Contains(t, o.seen.String(), secret, "the owner sees it")
	}
	return o
}

// TestNobodySeesOrChangesAnothersRecords has others try every command with the
// names of somebody's records, every button, menu and form that was ever made for
// them, and every completion.
func TestNobodySeesOrChangesAnothersRecords(t *testing.T) {
	t.Parallel()
	s := raise(t)
	o := secretly(t, s)
	before := s.app.lasting(o.ID(), "")
	hidden := func(ex *platformtest.Exchange, what string, secrets ...[]string) {
		t.Helper()
		for _, secret := range slices.Concat(secrets...) {
			require.NotContains(t, everything(ex), secret, what)
		}
	}

	// Who types names that are almost right is told of no name.
	curious := s.Member("Curt").Manager()
	tries := attacks(s.app.Commands(), map[string][]string{
		"project": {"Quillwor", "Sedgewre"}, "rule": {"Whelkrul"}, "cord": {"4 mm saltmars"}, "topic": {"Quillwor"},
	})
	require.Greater(t, len(tries), 80)
	for _, line := range some(tries) {
		hidden(curious.Slash(line), line, secretNames, secretWords)
	}
	// Who types the very names sees nothing of what is behind them.
	knowing := s.Member("Nell").Manager()
	for _, line := range some(attacks(s.app.Commands(), map[string][]string{
		"project": {"Quillwort", "Sedgewren"}, "rule": {"Whelkrule"}, "cord": {"4 mm"}, "topic": {"Quillwort"},
	})) {
		hidden(knowing.Slash(line), line, secretWords)
	}

	bold := s.Member("Bolt")
	for _, who := range some([]*platformtest.Member{bold, bold.Manager(), bold.Direct(), bold.Group(), bold.In("900000000000000077")}) {
		for _, id := range o.buttons {
			hidden(who.Press(id), id, secretNames, secretWords)
		}
		for _, menu := range o.menus {
			for _, choice := range menu.Options {
				ex := who.Wait(who.Send(3, map[string]any{"custom_id": menu.ID, "component_type": 3, "values": []string{choice.Value}}))
				hidden(ex, menu.ID, secretNames, secretWords)
			}
		}
		for _, form := range o.forms {
			hidden(who.Wait(who.Send(5, filled(form))), form.ID, secretNames, secretWords)
		}
		for line, option := range completed(s.app.Commands()) {
			for _, typed := range []string{"", "q", "w", "Quillwort", "saltmarsh"} {
				hidden(who.Autocomplete(line+typed, option), line, secretNames, secretWords)
			}
		}
	}
	require.Greater(t, len(o.buttons), 15)
	require.Greater(t, len(o.forms), 6)

	require.Equal(t, before, s.app.lasting(o.ID(), ""), "nobody changed a thing")
	for _, id := range o.buttons[:3] {
		require.NotContains(t, plain(o.Press(id)), "somebody else's", "and the owner's buttons still work")
	}
}

// filled is a form with something else in every field.
func filled(form *platformtest.Modal) map[string]any {
	var parts []any
	for i, f := range form.Fields {
		value := "4 mm"
		if f.Long {
			value = "cord main 4 mm\npanel front\n  mount 2 folded\n  tail 20 cm\n"
		}
		parts = append(parts, map[string]any{"type": 18, "id": i + 1, "component": map[string]any{"type": 4, "id": i + 101, "custom_id": f.ID, "value": value}})
	}
	return map[string]any{"custom_id": form.ID, "components": parts}
}

var exampleOption = regexp.MustCompile(`([a-z-]+):("[^"]*"|\S+)`)

// attacks are lines for every typed command: as in its example; with each of the
// names in each option that takes one; and with every option given.
func attacks(list []reply.Command, names map[string][]string) (lines []string) {
	walk(list, "", func(path string, c reply.Command) {
		given := map[string]string{}
		for _, m := range exampleOption.FindAllStringSubmatch(c.Example, -1) {
			given[m[1]] = m[2]
		}
		line := func(with map[string]string) string {
			text := "/" + path
			for _, o := range c.Options {
				if value := with[o.Name]; value != "" {
					text += " " + o.Name + ":" + value
				}
			}
			return text
		}
		lines = append(lines, line(given))
		for _, o := range c.Options {
			kind := o.Suggest
			if kind == "" && slices.Contains([]string{"name", "to", "save"}, o.Name) {
				kind = "project"
			}
			for _, name := range names[kind] {
				with := map[string]string{}
				for k, v := range given {
					with[k] = v
				}
				if kind == "project" {
					delete(with, "pieces") // the other way to ask
				}
				with[o.Name] = name
				lines = append(lines, line(with))
			}
		}
		lines = append(lines, line(allOptions(c, names)))
	})
	return lines
}

func allOptions(c reply.Command, names map[string][]string) map[string]string {
	with := map[string]string{}
	for _, o := range c.Options {
		switch {
		case len(o.Choices) > 0:
			with[o.Name] = o.Choices[0].Value
		case o.Kind == reply.YesNo:
			with[o.Name] = "yes"
		case o.Kind == reply.Whole:
			with[o.Name] = fmt.Sprint(max(o.Min, 1))
		case len(names[o.Suggest]) > 0:
			with[o.Name] = names[o.Suggest][0]
		default:
			with[o.Name] = "10 cm"
		}
	}
	return with
}

// completed are lines that end in an option with completions, and that option.
func completed(list []reply.Command) map[string]string {
	lines := map[string]string{}
	walk(list, "", func(path string, c reply.Command) {
		for _, o := range c.Options {
			if o.Suggest != "" {
				lines["/"+path+" "+o.Name+":"] = o.Name
			}
		}
	})
	return lines
}

func walk(list []reply.Command, before string, visit func(path string, c reply.Command)) {
	for _, c := range list {
		switch {
		case len(c.Sub) > 0:
			walk(c.Sub, before+c.Name+" ", visit)
		case !c.MessageMenu:
			visit(before+c.Name, c)
		}
	}
}

// What one member is answered is private, in servers and in chats of others, but
// for what they share.
func TestAnswersArePrivate(t *testing.T) {
	t.Parallel()
	s := raise(t)
	priya := s.Member("Priya")
	says(t, priya.Slash("/cord width:20cm drop:40cm save:Avocet"), "Saved")
	for _, who := range []*platformtest.Member{priya.Manager(), priya.Group()} {
		for _, line := range some(attacks(s.app.Commands(), map[string][]string{"project": {"Avocet"}, "rule": {"medium"}})) {
			if regexp.MustCompile(`^/(mydata forget|project (delete|rename|unshare))`).MatchString(line) {
				continue
			}
			ex := who.Slash(line)
			if ex.Message == nil {
				continue // a form is shown to nobody else
			}
			public := strings.HasPrefix(line, "/project share name:Avocet") && !strings.Contains(plain(ex), "nobody here")
			require.Equal(t, !public, ex.Message.Private, "%s\n%s", line, ex.Text())
		}
	}
}
