package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/bot/platformtest"
)

// TestStories tells what members do with the bot, all in one bot that they share.
// Every change is delivered twice (see twice), and in the end every command was
// typed and every button, menu and form that was offered was used.
func TestStories(t *testing.T) {
	t.Parallel()
	s := raise(t)
	t.Run("told", func(t *testing.T) {
		for name, tell := range map[string]func(*testing.T, *stage){
			"a first hanging, shared and kept in finer cord": firstHanging,
			"a faulty sheet is mended in the form":           faultySheet,
			"a sheet is edited by two at once":               twoEdits,
			"a long sheet still comes back whole":            longSheet,
			"in feet and inches":                             inInches,
			"in a private chat":                              inPrivate,
			"installed by a user":                            byUser,
			"leftovers and cutting plans":                    leftovers,
			"sums":                                           sums,
			"samples of one's own hand":                      swatches,
			"a community's knot":                             communityKnot,
			"rules":                                          rules,
			"where designs are shared":                       sharing,
			"designs are tidied up":                          tidying,
			"a sheet in a message":                           messageMenu,
			"completions":                                    completions,
			"help for everything":                            helping,
			"what is kept, and forgetting it":                forgetting,
			"pressed twice at once":                          pressedTwice,
			"delivered twice":                                deliveredTwice,
			"buttons that are no more":                       staleButtons,
			"a newcomer builds three panels by pressing":     byPressing,
			"built from a shared design":                     builtFromShared,
			"worked along":                                   workedAlong,
			"the first page of help, and a mistake mended":   firstPage,
		} {
			t.Run(name, func(t *testing.T) {
				t.Parallel()
				tell(t, s)
			})
		}
	})
	if t.Failed() {
		return
	}
	for _, path := range paths(s.app.Commands(), "") {
		require.True(t, s.app.asked[path], "no story uses /%s", path)
	}
	for action := range s.app.offered {
		require.True(t, s.app.pressed[action], "no story presses %s", action)
	}
	require.Greater(t, s.app.changes, 50, "changes that were delivered twice")
}

func demo(t testing.TB, name string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", name))
	require.NoError(t, err)
	return string(text)
}

func firstHanging(t *testing.T, s *stage) {
	ana, bea := s.Member("Ana"), s.Member("Bea")

	asked := pictured(t, says(t, ana.Slash("/cord width:40cm drop:70cm spool:100m price:24.00"), "40 cm wide, 70 cm long", "4 mm single-strand", "Caution:"))
	require.True(t, asked.Message.Private, "what is asked in a server is private")
	cuts := cutList(t, asked)
	says(t, ana.Choose(asked, "why is this cut so long?", "A"), "mount", "margin")
	says(t, ana.Click(asked, "see the sheet"), "mount 36 folded", "tail 18 cm")
	says(t, ana.Submit(ana.Click(asked, "a cord is short"), map[string]string{"short": "A", "by": "1 m"}), "runs out first", "row")

	form := ana.Click(asked, "save it")
	says(t, ana.Submit(form, map[string]string{"name": "Gull Wing"}), `/project show name:"Gull Wing"`)
	shown := pictured(t, ana.Slash(`/project show name:"Gull Wing"`))
	require.Equal(t, "Gull Wing", shown.Message.Embeds[0].Title)
	require.Equal(t, cuts, cutList(t, shown), "the saved design is the one that was answered")

	resized := pictured(t, says(t, ana.Slash(`/project resize name:"gull wing" width:60cm`), "now mount 54 folded", "54 x 4.40 m"))
	says(t, ana.Click(resized, "replace Gull Wing"), "saved: Gull Wing")
	wide := ana.Slash(`/project show name:"Gull Wing"`)
	says(t, wide, "60 cm wide")
	require.NotEqual(t, cuts, cutList(t, wide))

	shared := pictured(t, says(t, ana.Slash(`/project share name:"Gull Wing"`), "shared by: Ana"))
	require.False(t, shared.Message.Private, "shared by the member's own act")
	require.Equal(t, cutList(t, wide), cutList(t, shared))

	says(t, bea.Click(shared, "keep a copy"), "Your copy is “Gull Wing”")
	says(t, bea.Click(shared, "keep a copy"), "You have a copy already")
	says(t, bea.Click(shared, "metric / imperial"), "in wide")
	finer := pictured(t, says(t, bea.Submit(bea.Click(shared, "in my cord"), map[string]string{"thickness": "3 mm", "construction": "plied"}), "3 mm plied instead of 4 mm single-strand"))
	says(t, bea.Submit(bea.Click(finer, "save it"), map[string]string{"name": "Gull Wing fine"}), "Saved as")
	says(t, bea.Slash("/project show name:Gull Wing fine"), "3 mm plied")

	says(t, bea.Slash(`/shelf add pieces:"2 spools 50m" cord:"4 mm single-strand"`), "100.00 m")
	plan := pictured(t, says(t, bea.Click(shared, "cutting plan"), "from your shelf", "proved"))
	require.NotContains(t, plain(bea.Click(plan, "I have cut it: book it")), "100.00 m")

	says(t, bea.Slash(`/project unshare name:"Gull Wing"`), "you have shared no design of that name")
	says(t, ana.Slash(`/project unshare name:"Gull Wing"`), "no longer shared")
	for _, label := range []string{"keep a copy", "in my cord", "cutting plan", "metric / imperial"} {
		says(t, bea.Click(shared, label), "no longer shared")
	}
	says(t, bea.Slash(`/project show name:"Gull Wing"`), "60 cm wide")
}

func faultySheet(t *testing.T, s *stage) {
	cleo := s.Member("Cleo")
	form := cleo.Slash(`/project new name:"Torn Net"`)
	require.Equal(t, "Torn Net", form.Modal.Title)
	torn := demo(t, "faults/torn-net.sheet")
	refused := says(t, cleo.Submit(form, map[string]string{"sheet": torn}), "Not saved yet", "sqare", "line 7", "line 8", "line 9")
	says(t, cleo.Slash("/project list"), "no saved designs")

	again := cleo.Click(refused, "mend it")
	require.Equal(t, torn, again.Modal.Fields[0].Value, "nothing typed is lost")
	once := says(t, cleo.Submit(again, map[string]string{"sheet": strings.Replace(torn, "sqare", "square", 1)}), "Not saved yet", "nett", "midle")
	mended := strings.NewReplacer("nett", "net", "midle", "middle", "mount 9", "mount 10").Replace(cleo.Click(once, "mend it").Modal.Fields[0].Value)
	saved := pictured(t, says(t, cleo.Submit(cleo.Click(once, "mend it"), map[string]string{"sheet": mended}), "saved: Torn Net"))

	edit := cleo.Click(saved, "edit")
	require.Equal(t, mended, edit.Modal.Fields[0].Value)
	says(t, cleo.Submit(edit, map[string]string{"sheet": strings.Replace(mended, "tail 20 cm", "tail 30 cm", 1)}), "saved: Torn Net")
	says(t, cleo.Slash(`/project show name:"Torn Net" written:yes`), "tail 30 cm")
}

func twoEdits(t *testing.T, s *stage) {
	dee := s.Member("Dee")
	says(t, dee.Slash("/project new name:Kelp sheet:"+demo(t, "sheets/tide-line.sheet")), "saved: Kelp")
	first, second := dee.Slash("/project edit name:Kelp"), dee.Slash("/project edit name:Kelp")
	change := func(form *platformtest.Exchange, to string) *platformtest.Exchange {
		return dee.Submit(form, map[string]string{"sheet": strings.Replace(form.Modal.Fields[0].Value, "tail 22 cm", to, 1)})
	}
	says(t, change(first, "tail 24 cm"), "saved: Kelp")
	clash := says(t, change(second, "tail 26 cm"), "changed meanwhile", "tail 24 cm", "tail 26 cm")
	says(t, dee.Slash("/project show name:Kelp written:yes"), "tail 24 cm")
	over := dee.Click(clash, "edit mine and save it over")
	require.Contains(t, over.Modal.Fields[0].Value, "tail 26 cm")
	says(t, dee.Submit(over, nil), "saved: Kelp")
	says(t, dee.Slash("/project show name:Kelp written:yes"), "tail 26 cm")
}

func inInches(t *testing.T, s *stage) {
	eli := s.Member("Eli")
	asked := pictured(t, says(t, eli.Slash(`/cord width:16in drop:28in thickness:"3/16 in" tail:7in`), "16 in wide", "3/16 in single-strand"))
	list := cutList(t, asked)
	require.Contains(t, list, "ft")
	metric := regexp.MustCompile(`[0-9] (?:mm|cm|m|g|kg)\b`)
	require.NotRegexp(t, metric, plain(asked))
	says(t, eli.Submit(eli.Click(asked, "save it"), map[string]string{"name": "Sea Fan"}), "Saved as")
	says(t, eli.Slash("/prefs units:imperial"), "imperial")
	shown := pictured(t, eli.Slash(`/project show name:"Sea Fan"`))
	require.Equal(t, list, cutList(t, shown))
	resized := pictured(t, says(t, eli.Slash(`/project resize name:"Sea Fan" width:24 save:"Sea Fan wide"`), "2 ft wide"))
	require.NotRegexp(t, metric, regexp.MustCompile(`(?m)^· .*, now .*$`).ReplaceAllString(plain(resized), ""), "but for the lines of the sheet")
	require.NotRegexp(t, metric, plain(eli.Slash(`/project share name:"Sea Fan"`)))
}

// The same design is there in a private chat and in the server; what is asked in
// a private chat needs no hiding, and nothing can be shared there.
func inPrivate(t *testing.T, s *stage) {
	fay := s.Member("Fay")
	asked := pictured(t, fay.Direct().Slash("/cord width:30cm drop:60cm"))
	require.False(t, asked.Message.Private)
	says(t, fay.Direct().Submit(fay.Direct().Click(asked, "save it"), map[string]string{"name": "Drift"}), "Saved as")
	require.Equal(t, cutList(t, asked), cutList(t, fay.Slash("/project show name:Drift")))
	says(t, fay.Direct().Slash("/project resize name:Drift drop:90cm save:in place"), "saved: Drift, in place")
	says(t, fay.Direct().Slash("/project share name:Drift"), "nobody here to share with")
	says(t, fay.Direct().Slash(`/knots add name:"Pebble Knot"`), "private chat")
	says(t, fay.Direct().Slash("/sharing list"), "no channels here")
}

// byUser is a chat of others, and a server that knows nothing of the bot: its
// commands come along with the member who installed it, and answers are for that
// member alone.
func byUser(t *testing.T, s *stage) {
	gil := s.Member("Gil")
	for _, where := range []*platformtest.Member{gil.Group(), gil.In("900000000000000077")} {
		asked := pictured(t, where.Slash("/cord width:25cm drop:50cm save:Spindrift"))
		require.True(t, asked.Message.Private)
		shown := says(t, where.Slash("/project show name:Spindrift"), "cm wide")
		require.True(t, shown.Message.Private)
		form := where.Click(asked, "in my cord")
		recorded := where.Submit(form, map[string]string{"thickness": "6 mm"})
		require.True(t, says(t, recorded, "6 mm").Message.Private)
		says(t, where.Slash("/project delete name:Spindrift"), "in the bin")
	}
	says(t, gil.Slash("/cord width:25cm drop:50cm save:Spindrift"), "Saved")
	says(t, gil.Group().Slash("/project share name:Spindrift"), "nobody here to share with")
	shared := gil.In("900000000000000077").Slash("/project share name:Spindrift")
	require.False(t, shared.Message.Private)
	says(t, s.Member("Gus").In("900000000000000078").Click(shared, "keep a copy"), "no longer shared")
}

func leftovers(t *testing.T, s *stage) {
	hal := s.Member("Hal")
	says(t, hal.Slash("/shelf list"), "Nothing lies on your shelf")
	says(t, hal.Slash(`/shelf add pieces:"45cm x12, 1.2m x3, 2 spools 100m" cord:"4 mm single-strand" note:"grey box"`), "209.00 m")
	says(t, hal.Slash(`/shelf add pieces:"80cm x4" cord:"6 mm braided"`), "212.20 m")
	plan := pictured(t, says(t, hal.Slash(`/plan pieces:"12 x 40cm, 3 x 1.1m" cord:"4 mm single-strand"`), "to buy: nothing", "from your shelf", "proved"))
	says(t, hal.Click(plan, "I have cut it: book it"), "Booked")
	listed := says(t, hal.Slash("/shelf list"), "100.00 m", "80 cm")
	require.NotContains(t, plain(listed), "45 cm", "used up")
	stale := hal.Slash(`/plan pieces:"2 x 30m" cord:"4 mm single-strand"`)
	says(t, hal.Slash(`/shelf remove pieces:"80cm x1"`), "Taken off")
	says(t, hal.Click(stale, "I have cut it: book it"), "changed since this plan was made")
	says(t, hal.Slash("/shelf undo"), "as it was")
	says(t, hal.Slash("/shelf clear"), "is empty")
	says(t, hal.Slash("/shelf undo"), "100.00 m")

	says(t, hal.Slash("/project new name:Tide Line sheet:"+demo(t, "sheets/tide-line.sheet")), "saved: Tide Line")
	says(t, hal.Slash(`/plan project:"Tide Line" book:yes`), "Booked")
	says(t, hal.Slash(`/plan pieces:"2 x 300m" spool:100m`), "longer than anything")
	says(t, hal.Slash(`/fringe drop:15cm loops:10 per-loop:2 thickness:6mm spool:50m`), "20")
	says(t, hal.Slash(`/fringe project:"Tide Line" drop:12cm spool:50m`), "12 cm")
}

func sums(t *testing.T, s *stage) {
	ida := s.Member("Ida")
	says(t, ida.Slash("/cut finished:1.2m count:8 folded:yes"), "medium", "8")
	says(t, ida.Slash("/cut finished:1m folded:no rule:medium"), "4.00 m")
	// The international yard and pound agreement of 1959: an inch is 25.4 mm, so
	// three sixteenths are 4.7625 mm.
	says(t, ida.Slash("/convert what:3/16 in"), "4.76")
	says(t, ida.Slash("/convert what:nonsense"), "nonsense")
	says(t, ida.Slash("/wrap ends:16 turns:5 thickness:5mm"), "16", "turns")
	says(t, ida.Slash("/wrap strands:30 drop:10cm"), "30", "10 cm")
	says(t, ida.Slash("/dowel length:60cm dowel:20mm cords:30 thickness:4mm wood:birch"), "birch", "Caution:")
	says(t, ida.Slash("/prefs margin:25 step:10cm detail:short"), "25 %", "10 cm", "short")
	short := says(t, ida.Slash("/cord width:40cm drop:70cm"), "Caution:")
	require.NotContains(t, plain(short), "common practice")
	says(t, ida.Slash("/cord width:40cm drop:70cm why:A"), "25 %")
	says(t, ida.Slash("/cord width:four drop:70cm"), "four", "/cord width:40cm drop:70cm")
}

// swatches: who knots looser than the book is told to cut longer.
func swatches(t *testing.T, s *stage) {
	jan := s.Member("Jan")
	before := cutList(t, jan.Slash("/cord width:40cm drop:70cm thickness:4mm"))
	says(t, jan.Slash(`/swatch add knot:"square knot" count:10 before:140cm after:46cm sample:12cm thickness:4mm`), "Swatch kept", "94 cm")
	after := cutList(t, jan.Slash("/cord width:40cm drop:70cm thickness:4mm"))
	require.NotEqual(t, before, after)
	require.Equal(t, before, cutList(t, s.Member("Joe").Slash("/cord width:40cm drop:70cm thickness:4mm")), "another's hand is another's")
	says(t, jan.Slash("/swatch list"), "square knot")
	says(t, jan.Slash("/swatch remove number:1"), "")
	require.Equal(t, before, cutList(t, jan.Slash("/cord width:40cm drop:70cm thickness:4mm")))
}

func communityKnot(t *testing.T, s *stage) {
	const harbour = "900000000000000011"
	kim, lou := s.Member("Kim").In(harbour), s.Member("Lou").In(harbour)
	says(t, lou.Slash(`/knots add name:"Pebble Knot"`), "manage")
	form := kim.Manager().Slash(`/knots add name:"Pebble Knot"`)
	faulty := says(t, kim.Manager().Submit(form, map[string]string{"roles": "worker ties: 2*turn(k"}), "turn(k")
	mended := kim.Manager().Click(faulty, "mend it")
	says(t, kim.Manager().Submit(mended, map[string]string{"roles": "worker ties: turn(k) + pitch + 5*d\nfiller runs: pitch"}), "Pebble Knot")
	book := says(t, lou.Slash("/knots list"), "Pebble Knot", "Page 1 of 2")
	says(t, lou.Click(book, "next page"), "alternating net")
	says(t, lou.Slash(`/knots show name:"pebble knot" thickness:5mm`), "Pebble Knot", "5 mm")
	asked := pictured(t, lou.Slash(`/cord width:30cm drop:60cm knotwork:sinnets knot:"Pebble Knot"`))
	says(t, lou.Submit(lou.Click(asked, "save it"), map[string]string{"name": "Pebbles"}), "Saved as")
	says(t, s.Member("Lou").Slash(`/knots show name:"pebble knot"`), "no such knot")
	says(t, lou.Slash(`/knots remove name:"Pebble Knot"`), "manage")
	says(t, kim.Manager().Slash(`/knots remove name:"Pebble Knot"`), "out of this community's book")
	require.Equal(t, cutList(t, asked), cutList(t, lou.Slash("/project show name:Pebbles")), "a saved design keeps its knots")
}

func rules(t *testing.T, s *stage) {
	const quay = "900000000000000012"
	max, ned := s.Member("Max").In(quay), s.Member("Ned").In(quay)
	says(t, max.Slash(`/rule add name:"Jar Cover" formula:"4.5*finished + 20 cm"`), "4.70 m")
	says(t, max.Slash("/rule list"), "Jar Cover")
	says(t, max.Slash(`/rule show name:"Jar Cover"`), "4.5*finished")
	says(t, max.Slash(`/cut finished:1m folded:no rule:"Jar Cover"`), "4.70 m")
	says(t, ned.Slash(`/cut finished:1m folded:no rule:"Jar Cover"`), "there is no rule of that name")
	says(t, max.Slash(`/rule add name:"Quay" formula:"3*finished" whose:community`), "manage")
	says(t, max.Manager().Slash(`/rule add name:"Quay" formula:"3*finished" whose:community`), "3.00 m")
	says(t, ned.Slash(`/cut finished:1m folded:no rule:Quay`), "3.00 m")
	says(t, max.Slash(`/rule add name:"Broken" formula:"4.5*finish"`), "finish")
	says(t, max.Slash(`/rule remove name:"Jar Cover"`), "Jar Cover")
	says(t, max.Slash(`/rule show name:"Jar Cover"`), "there is no rule of that name")
}

func sharing(t *testing.T, s *stage) {
	const cove = "900000000000000013"
	ola := s.Member("Ola").In(cove)
	says(t, ola.Slash("/cord width:20cm drop:40cm save:Cove"), "Saved")
	says(t, ola.Slash("/sharing here"), "Only those who may manage")
	says(t, ola.Manager().Slash("/sharing here"), "(this one)")
	says(t, ola.Manager().Slash("/sharing list"), "(this one)")
	require.False(t, ola.Slash("/project share name:Cove").Message.Private)
	says(t, ola.Manager().Slash("/sharing anywhere"), "every channel")
}

func tidying(t *testing.T, s *stage) {
	pia := s.Member("Pia")
	says(t, pia.Slash("/project new name:Heron sheet:"+demo(t, "sheets/three-herons.sheet")), "saved: Heron")
	says(t, pia.Slash("/project copy name:Heron to:Egret"), "Copied")
	says(t, pia.Slash("/project rename name:Egret to:Bittern"), "is now “Bittern”")
	says(t, pia.Slash("/project rename name:Bittern to:Heron"), "has that name already")
	says(t, pia.Slash("/project list"), "Bittern", "Heron")
	says(t, pia.Slash("/project show name:Herron"), "did you mean “Heron”?")
	says(t, pia.Slash("/project edit name:Heron sheet:"+demo(t, "sheets/ember-pennant.sheet")), "saved: Heron")
	says(t, pia.Slash("/project undo name:Heron changes:1"), "Heron as it was", "panel middle")
	says(t, pia.Slash("/project delete name:Bittern"), "in the bin")
	says(t, pia.Slash("/project show name:Bittern"), "no project of that name")
	says(t, pia.Slash("/project undo name:Bittern"), "back from the bin")
	says(t, pia.Slash("/project show name:Bittern why:A"), "A")

	printed := says(t, pia.Slash("/project print name:Heron paper:A4"), "100 %")
	file := printed.File("heron.pdf")
	require.NotNil(t, file)
	require.True(t, strings.HasPrefix(string(file.Data), "%PDF-"))
	says(t, pia.Slash("/dowel project:Heron"), "ash", "Caution:")
}

func messageMenu(t *testing.T, s *stage) {
	quin := s.Member("Quin")
	asked := pictured(t, quin.MessageMenu("size this sheet", "look at this:\n```\n"+demo(t, "sheets/moss-cradle.sheet")+"```"))
	require.True(t, asked.Message.Private)
	says(t, quin.Submit(quin.Click(asked, "save it"), map[string]string{"name": "Cradle"}), "Saved as")
	require.Equal(t, cutList(t, asked), cutList(t, quin.Slash("/project show name:Cradle")))
	says(t, quin.MessageMenu("size this sheet", "good morning"), "good morning")
	says(t, quin.MessageMenu("size this sheet", ""), "holds no text")
}

func completions(t *testing.T, s *stage) {
	rue := s.Member("Rue")
	says(t, rue.Slash("/cord width:20cm drop:40cm save:Tern"), "Saved")
	says(t, rue.Slash("/project copy name:Tern to:Turnstone"), "Copied")
	says(t, rue.Slash(`/shelf add pieces:"45cm x12" cord:"4 mm single-strand, moss green"`), "45 cm")
	says(t, rue.Slash(`/shelf add pieces:"80cm x3" cord:"6 mm braided"`), "80 cm")
	says(t, rue.Slash(`/rule add name:"Tern tails" formula:"2*finished"`), "2*finished")
	choices := func(line, option string, member ...*platformtest.Member) string {
		who := append(member, rue)[0]
		return who.Autocomplete(line, option).Text()
	}
	require.Equal(t, "Tern\nTurnstone", choices("/project show name:t", "name"))
	require.Equal(t, "Turnstone", choices("/plan project:turn", "project"))
	require.Contains(t, choices("/cord width:1m drop:1m knot:squ", "knot"), "square knot")
	require.Contains(t, choices("/knots show name:berry", "name"), "berry knot")
	require.Contains(t, choices("/cut finished:1m rule:", "rule"), "Tern tails")
	require.Contains(t, choices("/rule show name:med", "name"), "medium")
	require.Equal(t, "6 mm braided", choices("/shelf remove pieces:80cm cord:braid", "cord"))
	require.Equal(t, "4 mm single-strand, moss green\n6 mm braided", choices("/plan pieces:1m cord:", "cord"))
	require.Contains(t, choices("/help topic:proj", "topic"), "project")
	for _, line := range []string{"/project show name:", "/shelf remove pieces:80cm cord:", "/rule show name:tern"} {
		_, option, _ := strings.Cut(strings.TrimSuffix(strings.TrimSuffix(line, "tern"), ":"), " ")
		option = option[strings.LastIndex(option, " ")+1:]
		require.Empty(t, choices(line, option, s.Member("Nobody")), "of somebody else")
	}
}

func helping(t *testing.T, s *stage) {
	sol := s.Member("Sol")
	says(t, sol.Slash("/help topic:commands"), "/cord width:40cm drop:70cm")
	for _, path := range append(paths(s.app.Commands(), ""), "sheet", "formulas", "start") {
		if path != "size this sheet" {
			says(t, sol.Slash("/help topic:"+path))
		}
	}
	says(t, sol.Slash("/help topic:projcet"), "did you mean")
}

func forgetting(t *testing.T, s *stage) {
	tess := s.Member("Tess")
	says(t, tess.Slash("/cord width:20cm drop:40cm save:Curlew"), "Saved")
	says(t, tess.Slash(`/shelf add pieces:"45cm x12" cord:"4 mm"`), "45 cm")
	shared := tess.Slash("/project share name:Curlew")
	file := says(t, tess.Slash("/mydata export")).File("larkfold-mydata-1.zip")
	require.NotNil(t, file)
	all, err := unzip(file.Data)
	require.NoError(t, err)
	require.True(t, json.Valid(all))
	require.Contains(t, string(all), "Curlew")
	says(t, tess.Slash("/mydata room"), "room left")
	says(t, tess.Slash("/mydata forget"), "Nothing was erased")
	says(t, tess.Slash("/project list"), "Curlew")
	says(t, tess.Slash(`/mydata forget confirm:"forget me"`), "You are forgotten")
	says(t, tess.Slash("/project list"), "no saved designs")
	says(t, tess.Slash("/shelf list"), "Nothing lies")
	says(t, s.Member("Tim").Click(shared, "keep a copy"), "no longer shared")
	left, err := unzip(tess.Slash("/mydata export").File("larkfold-mydata-1.zip").Data)
	require.NoError(t, err)
	require.NotContains(t, string(left), "Curlew")
}

// longSheet is a sheet that no form can hold: it is typed as an option, and what
// cannot be edited in a form comes back as a file.
func longSheet(t *testing.T, s *stage) {
	uma := s.Member("Uma")
	long := demo(t, "sheets/tide-line.sheet") + strings.Repeat("# a remark that makes the sheet longer than a form\n", 90)
	require.Greater(t, len(long), 4000)
	says(t, uma.Slash("/project new name:Long sheet:"+long), "saved: Long")
	edited := says(t, uma.Slash("/project edit name:Long"))
	require.Contains(t, attached(edited), "a quiet net", "the sheet comes back as a file")
	faulty := says(t, uma.Slash("/project edit name:Long sheet:"+strings.Replace(long, "row square", "row sqare", 1)), "Not saved yet", "sqare")
	require.Contains(t, attached(says(t, uma.Click(faulty, "mend it"))), "row sqare")
}

// attached is everything in an answer's text files.
func attached(ex *platformtest.Exchange) string {
	var all strings.Builder
	for _, f := range ex.Message.Files {
		if strings.HasSuffix(f.Name, ".txt") {
			all.Write(f.Data)
		}
	}
	return strings.ToLower(all.String())
}
