package commands

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"larkfold/commands/ask"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/length"
	"larkfold/sizing/stock"
	"larkfold/store"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// onShelfInAll is the length of everything on a shelf.
func onShelfInAll(shelf store.Leftovers) length.Length {
	var total length.Length
	for _, e := range shelf.Entries {
		total += length.Length(e.Length) * length.Length(e.Count)
	}
	return total
}

func TestPlan(t *testing.T) {
	a := newApp(t)
	demo(t, a, ana, "Tide Line", "tide-line.sheet")
	demo(t, a, ana, "Three Herons", "three-herons.sheet")
	golden(t, "plan", conversation(t, a,
		`/plan pieces:"12 x 3.2m, 40 x 50cm" spool:100m`,
		`/plan pieces:"12 x 3.2m, 40 x 50cm" spool:"30m, 50m" price:"9.00, 14.00"`,
		`/shelf add pieces:"55cm x9, 3.5m x2, spool 21m" cord:"4 mm single-strand"`,
		`/plan pieces:"12 x 3.2m, 40 x 50cm" cord:"4 mm"`,
		`/plan project:"Tide Line"`,
		`/shelf add pieces:"9m x4, 40m x1" cord:"4 mm plied sand"`,
		`/shelf add pieces:"30m x1" cord:"4 mm plied reed"`,
		`/plan project:"Three Herons" keep:50cm book:yes`,
		"/prefs units:imperial",
		`/plan pieces:"12 x 10ft 6in, 40 x 20in" spool:"110 yd" price:24.00`,
	))
}

// Spools that lie on the shelf and are not cut are named, with the reason.
func TestPlanSaysWhichSpoolsItPassedOver(t *testing.T) {
	a := newApp(t)
	demo(t, a, ana, "Three Herons", "three-herons.sheet")
	demo(t, a, ana, "Tide Line", "tide-line.sheet")
	answered(t, a, `/shelf add pieces:"spool 200m"`)
	answered(t, a, `/shelf add pieces:"spool 1m, spool 70m" cord:"4 mm plied moss"`)
	answered(t, a, `/shelf add pieces:"2 spools 60m" cord:"4 mm braided sand"`)
	answered(t, a, `/shelf add pieces:"spool 90m" cord:"4 mm plied sand"`)
	answered(t, a, `/shelf add pieces:"spool 80m" cord:"3 mm plied sand"`)
	herons := render(answered(t, a, `/plan project:"Three Herons" spool:50m`))
	require.Contains(t, herons, "not cut: 1 spool of 200.00 m of any: its thickness is not named")
	require.Contains(t, herons, "not cut: 1 spool of 70.00 m of 4 mm plied moss: it is moss, not sand")
	require.Contains(t, herons, "not cut: 1 spool of 70.00 m of 4 mm plied moss: it is moss, not reed")
	require.Contains(t, herons, "not cut: 2 spools of 60.00 m of 4 mm braided sand: it is braided, not plied")
	require.NotContains(t, herons, "80.00 m", "nobody thinks that another thickness would serve")
	require.NotContains(t, herons, "not cut: 1 spool of 90.00 m")
	short := render(answered(t, a, `/plan pieces:"3 x 2m" cord:"4 mm plied moss"`))
	require.Contains(t, short, "not cut: 1 spool of 1.00 m of 4 mm plied moss: it is shorter than the shortest piece")
	require.NotContains(t, short, "1 spool of 70.00 m of")
}

// A maker's shelf of two colours is not mixed up in a design of two colours, and
// no piece is cut twice.
func TestColoursAreKeptApart(t *testing.T) {
	a := newApp(t)
	demo(t, a, ana, "Three Herons", "three-herons.sheet")
	answered(t, a, `/shelf add pieces:"9m x8" cord:"4 mm plied, sand"`)
	answered(t, a, `/shelf add pieces:"9m x8" cord:"4 mm plied"`)
	answered(t, a, `/shelf add pieces:"9m x8" cord:"4 mm plied moss"`)
	answer := answered(t, a, `/plan project:"Three Herons" spool:50m`)
	require.NotContains(t, render(answer), "moss")
	booked := press(t, a, answer, "I have cut it: book it")
	require.False(t, booked.Refused, render(booked))
	for _, e := range shelfOf(t, a, ana).Entries {
		if e.Cord == "4 mm plied moss" {
			require.Equal(t, 8, e.Count)
		}
	}
}

// Booking changes the shelf once, however often the request or the press is
// delivered, and a shelf that was changed meanwhile is left as it is.
func TestBookingOnce(t *testing.T) {
	plan := `/plan pieces:"4 x 1.1m" cord:"4 mm"`
	add := `/shelf add pieces:"2.5m x6" cord:"4 mm"`
	t.Run("pressed twice", func(t *testing.T) {
		a := newApp(t)
		answered(t, a, add)
		answer := answered(t, a, plan)
		press(t, a, answer, "I have cut it: book it")
		once := shelfOf(t, a, ana)
		again := press(t, a, answer, "I have cut it: book it")
		require.False(t, again.Refused, render(again))
		require.Equal(t, once, shelfOf(t, a, ana))
	})
	for _, line := range []string{plan + " book:yes", add, "/shelf remove pieces:2.5m", "/shelf clear", "/shelf undo"} {
		t.Run("delivered twice: "+line, func(t *testing.T) {
			a := newApp(t)
			answered(t, a, add)
			answered(t, a, add)
			req := typed(t, a, ana, line)
			first, err := a.Do(t.Context(), req)
			require.NoError(t, err)
			require.False(t, first.Refused, render(first))
			once := shelfOf(t, a, ana)
			second, err := a.Do(t.Context(), req)
			require.NoError(t, err)
			require.False(t, second.Refused, render(second))
			require.Equal(t, once, shelfOf(t, a, ana))
			if strings.Contains(line, "book:yes") {
				require.Contains(t, render(second), "Booked already", "no plan of what the first left")
			}
		})
	}
	t.Run("changed between plan and booking", func(t *testing.T) {
		a := newApp(t)
		answered(t, a, add)
		answer := answered(t, a, plan)
		answered(t, a, "/shelf remove pieces:2.5m")
		before := shelfOf(t, a, ana)
		clash := press(t, a, answer, "I have cut it: book it")
		require.True(t, clash.Refused)
		require.Contains(t, render(clash), "nothing was booked")
		require.Equal(t, before, shelfOf(t, a, ana))
	})
}

// What is booked is what was cut: the shelf is shorter by what was cut from its
// own pieces and by their scraps, and longer by the rests of new spools. Undo
// brings back exactly what was there.
func TestBookingAddsUp(t *testing.T) {
	a := newApp(t)
	members := 0
	rapid.Check(t, func(r *rapid.T) {
		ctx := context.Background()
		members++
		who := ana
		who.Member, who.ID = fmt.Sprint("member-", members), "booking"
		words := ask.CordWords{Thickness: 4 * length.Millimetre}
		text, data, err := words.Record()
		require.NoError(r, err)
		change := store.LeftoverChange{Why: "test"}
		for range rapid.IntRange(0, 6).Draw(r, "entries") {
			change.Add = append(change.Add, store.Leftover{
				Kind: store.Offcut, Cord: text, Data: data, Count: rapid.IntRange(1, 4).Draw(r, "count"),
				Length: store.Nanometres(length.Length(rapid.IntRange(10, 400).Draw(r, "cm")) * length.Centimetre),
			})
		}
		once := func(change func(tx *store.Tx) (store.Leftovers, error)) (after store.Leftovers) {
			_, _, err := a.room.Store.Once(ctx, who.Member, now, "", func(tx *store.Tx) (_ json.RawMessage, err error) {
				after, err = change(tx)
				return nil, err
			})
			require.NoError(r, err)
			return after
		}
		before := once(func(tx *store.Tx) (store.Leftovers, error) { return tx.ChangeLeftovers(change, store.AnyRevision) })

		w := wantedCuts{words: words}
		for i := range rapid.IntRange(1, 4).Draw(r, "pieces") {
			w.pieces = append(w.pieces, piece(i, rapid.IntRange(10, 350).Draw(r, "cm of piece"), rapid.IntRange(1, 6).Draw(r, "times")))
		}
		w.spools = spoolOf(rapid.IntRange(4, 20).Draw(r, "spool"))
		keep := length.Length(rapid.IntRange(0, 80).Draw(r, "keep")) * length.Centimetre
		done, err := solve(ctx, w, before, keep, planBudget)
		require.NoError(r, err)
		require.Empty(r, done.plan.Unplaced)

		_, err = takeCuts(ctx, seated(t, a, who), who, taking{Why: "test", Revision: before.Revision, Take: done.takes, Add: done.adds})
		require.NoError(r, err)
		after, err := a.room.Store.Leftovers(ctx, who.Member)
		require.NoError(r, err)

		var cut, rests, waste length.Length // cut from own pieces, rests of new spools, scraps of own pieces
		for _, p := range done.plan.Patterns {
			times := length.Length(p.Times)
			for _, c := range p.Cuts {
				if p.Offcut {
					cut += times * c.Length
				}
			}
			switch {
			case p.Offcut && !p.Keep:
				waste += times * p.Remainder
			case !p.Offcut && p.Keep:
				rests += times * p.Remainder
			}
		}
		require.Equal(r, onShelfInAll(before)-cut-waste+rests, onShelfInAll(after))

		if len(done.takes)+len(done.adds) == 0 {
			return
		}
		undone := once(func(tx *store.Tx) (store.Leftovers, error) { return tx.UndoLeftovers(1, after.Revision) })
		require.ElementsMatch(r, before.Entries, undone.Entries)
	})
}

func piece(i, centimetres, count int) stock.Piece {
	return stock.Piece{Length: length.Length(centimetres) * length.Centimetre, Count: count, Label: cutlist.Label(i)}
}

func spoolOf(metres int) []stock.Stock {
	return []stock.Stock{{Length: length.Length(metres) * length.Metre, Label: newSpool}}
}
