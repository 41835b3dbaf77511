package commands

import (
	"context"
	"fmt"
	"testing"

	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/length"

	"github.com/stretchr/testify/require"
)

func TestCutAnswers(t *testing.T) {
	a := newApp(t)
	answered(t, a, `/rule add name:"Jar Cover" formula:"4.5*finished + 20 cm" source:"my own jar covers"`)
	answered(t, a, `/rule add name:"By Width" formula:"6*width"`)
	golden(t, "cut", conversation(t, a,
		"/cut finished:1.2m count:8 folded:yes",
		"/cut finished:1.2m",
		"/cut finished:4ft count:8 folded:yes tail:1ft",
		"/cut finished:1.2m count:6 folded:yes knot:plait",
		`/cut finished:60cm count:10 folded:yes knot:"half hitch" thickness:3mm rule:"jar cover"`,
		"/cut finished:20cm count:40 folded:yes rule:doubled",
		`/cut finished:90cm rule:"by width" width:40cm`,
	))
}

// asked of /cut, traced.
func tracedPieces(t *testing.T, a *App, line string) (doubling, sizing.Sized) {
	t.Helper()
	req := typed(t, a, ana, line)
	c, _ := find(a.commands, []string{"cut"})
	req = req.As(c)
	d, err := wantDoubling(seated(t, a, req), req)
	require.NoError(t, err)
	sized, err := sizeSheet(context.Background(), seated(t, a, req), d.sheet(false))
	require.NoError(t, err)
	return d, sized
}

// The workers of a square-knot sinnet use four to five times its length, and the
// fillers once (common practice, no source).
func TestCutAgainstTheTradesBand(t *testing.T) {
	a := newApp(t)
	for _, thickness := range []int{2, 3, 4, 6, 9} {
		d, sized := tracedPieces(t, a, fmt.Sprintf("/cut finished:2m thickness:%dmm", thickness))
		worked := float64(d.worked())
		for _, e := range sized.Ends {
			for _, u := range e.Uses {
				times := float64(u.Takes) / worked
				if u.Role == "worker" {
					require.Greater(t, times, 4.0, "%d mm", thickness)
					require.Less(t, times, 5.0, "%d mm", thickness)
				} else {
					require.InDelta(t, 1, times, 0.03, "%d mm", thickness)
				}
			}
		}
	}
}

// A rule is said to run short exactly when its length is below what the worker
// needs, worked out here by itself.
func TestVerdictsOfRules(t *testing.T) {
	a := newApp(t)
	d, sized := tracedPieces(t, a, "/cut finished:1.2m count:8 folded:yes")
	need := d.need(sized)
	for _, name := range []string{"below", "above"} {
		off := length.Centimetre
		if name == "below" {
			off = -off
		}
		answered(t, a, fmt.Sprintf("/rule add name:%s formula:\"0*finished + %d mm\"", name, int64((need/2+off)/length.Millimetre)))
		text := render(answered(t, a, "/cut finished:1.2m count:8 folded:yes rule:"+name))
		if name == "below" {
			require.Contains(t, text, "runs short by")
		} else {
			require.NotContains(t, text, "runs short by")
			require.Contains(t, text, "eats into your margin")
		}
	}
}

// What /cut says of a sinnet is what a sheet of the same sinnet says.
func TestCutAgreesWithTheSheet(t *testing.T) {
	a := newApp(t)
	_, sized := tracedPieces(t, a, "/cut finished:1m folded:yes tail:20cm")
	answer := answered(t, a, `/project new name:Same sheet:"cord main 4 mm
dowel 50 cm x 20 mm
panel work
mount 2 folded
sinnet square for 78.7 cm
tail 20 cm"`)
	require.Contains(t, render(answer), "2 x "+sitting.Prefs{}.Cut(sized.List.Cuts[0].Length))
}

// From Request to Reply: rules, take-up and folding off centre.
func BenchmarkCut(b *testing.B) {
	a := newApp(b)
	req := typed(b, a, ana, "/cut finished:1.2m count:8 folded:yes")
	b.ReportAllocs()
	for b.Loop() {
		answer, err := a.Do(context.Background(), req)
		require.NoError(b, err)
		require.False(b, answer.Refused)
	}
}
