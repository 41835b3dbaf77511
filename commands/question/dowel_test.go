package question_test

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/design"
	"larkfold/commands/question"
	"larkfold/commands/reply"
	"larkfold/sizing/trace"
)

// The hanger that a sheet cuts is the one that /dowel measures, whatever the rod.
func TestDowelAgreesWithTheSheet(t *testing.T) {
	a := commandstest.New(t)
	for _, rod := range []string{"60 cm x 20 mm", "1.2 m x 45 mm", "30 cm x 8 mm"} {
		sized, err := design.SizeText(context.Background(), commandstest.Seated(t, a, commandstest.Ana), "cord main 4 mm\ndowel "+rod+"\npanel work\nmount 8 folded\nnet square rows 4\ntail 20 cm\nhanger angle 45\n")
		require.NoError(t, err)
		hanger, angle, err := question.HangerOf(commandstest.Seated(t, a, commandstest.Ana), sized)
		require.NoError(t, err)
		done, err := hanger.ForAngle(angle)
		require.NoError(t, err)
		require.Len(t, sized.Extras, 1)
		require.Equal(t, trace.ForHanger, sized.Extras[0].For)
		require.Equal(t, sized.Extras[0].Need.Run, 2*done.Leg, rod)
	}
}

// A hanger has one length, whoever asks: the cut list of a sheet, /dowel for that
// design, and /dowel for so many cords on such a stick.
func TestAHangerHasOneLength(t *testing.T) {
	for _, units := range []string{"metric", "imperial"} {
		a := commandstest.New(t)
		commandstest.Answered(t, a, "/prefs units:"+units)
		commandstest.Answered(t, a, "/prefs margin:13")
		commandstest.Answered(t, a, `/cord width:20cm drop:50cm thickness:4mm dowel:20mm save:Wall`)
		text := string(commandstest.Answered(t, a, "/project show name:Wall written:yes").Blocks[1].(reply.Verbatim))
		for i, hanger := range []string{"hanger rise 15 cm", "hanger angle 62.5"} {
			commandstest.Answered(t, a, `/project edit name:Wall sheet:"`+text+"\n"+hanger+`"`)
			var cut string
			for _, block := range commandstest.Answered(t, a, "/project show name:Wall").Blocks {
				table, ok := block.(reply.Table)
				if !ok {
					continue
				}
				for _, row := range table.Rows {
					if row[4] == "hanger" {
						cut = row[2]
					}
				}
			}
			require.NotEmpty(t, cut)
			require.Contains(t, commandstest.Render(commandstest.Answered(t, a, "/dowel project:Wall")), "hanger: cut "+cut+",", hanger)
			if i > 0 {
				continue
			}
			require.Contains(t, commandstest.Render(commandstest.Answered(t, a, "/dowel project:Wall rise:15cm")), "hanger: cut "+cut+",")
			rod := answeredRod(t, text)
			require.Contains(t, commandstest.Render(commandstest.Answered(t, a, `/dowel cords:18 thickness:4mm dowel:20mm rise:15cm length:"`+rod+`"`)), "hanger: cut "+cut+",")
		}
	}
}

// answeredRod is the length of the dowel that a sheet names.
func answeredRod(t *testing.T, text string) string {
	t.Helper()
	_, after, ok := strings.Cut(text, "dowel ")
	require.True(t, ok, text)
	rod, _, ok := strings.Cut(after, " x ")
	require.True(t, ok, text)
	return rod
}

// A design on a ring has no ends to mark: the answer says whether it fits round.
func TestDowelOfARing(t *testing.T) {
	a := commandstest.New(t)
	for name, ring := range map[string]string{"Roomy": "ring 12 cm x 8 mm birch", "Tight": "ring 5.5 cm x 5 mm birch"} {
		commandstest.Answered(t, a, `/project new name:`+name+` sheet:"cord main 4 mm
`+ring+`
panel cradle round
  mount 16 folded
  net square rows 2
  tail 20 cm
"`)
	}
	commandstest.Golden(t, "ring", commandstest.Conversation(t, a, "/dowel project:Roomy", "/dowel project:Tight load:4kg"))
}

func TestDowel(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Demo(t, a, commandstest.Ana, "Tide Line", "tide-line.sheet")
	commandstest.Demo(t, a, commandstest.Ana, "Three Herons", "three-herons.sheet")
	commandstest.Golden(t, "dowel", commandstest.Conversation(t, a,
		"/dowel length:60cm dowel:20mm cords:30 thickness:4mm wood:birch",
		"/dowel length:30cm cords:30",
		`/dowel length:60cm cords:"12, 8, 12" spread:shared load:900g rise:20cm`,
		"/dowel length:2m dowel:12mm cords:80 load:4kg wood:pine",
		`/dowel project:"Tide Line"`,
		`/dowel project:"Three Herons" wood:bamboo angle:20`,
		"/prefs units:imperial",
		"/dowel length:24in dowel:3/4in cords:30 thickness:3/16in load:2lb wood:oak",
	))
}

// A stick is reckoned for 50 kg and no more.
func TestTheGreatestLoad(t *testing.T) {
	a := commandstest.New(t)
	require.False(t, commandstest.AskedBy(t, a, commandstest.Ana, "/dowel length:60cm dowel:40mm cords:12 load:50kg").Refused)
	refused := commandstest.Render(commandstest.AskedBy(t, a, commandstest.Ana, "/dowel length:60cm dowel:40mm cords:12 load:50.001kg"))
	require.Contains(t, refused, "read: load: 50.001kg")
	require.Contains(t, refused, "more than 50.00 kg")
}
