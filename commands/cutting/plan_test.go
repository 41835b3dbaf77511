package cutting_test

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/commands/ask"
	"larkfold/commands/commandstest"
	"larkfold/commands/cutting"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/length"
	"larkfold/sizing/stock"
	"larkfold/store"
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
	a := commandstest.New(t)
	commandstest.Demo(t, a, commandstest.Ana, "Tide Line", "tide-line.sheet")
	commandstest.Demo(t, a, commandstest.Ana, "Three Herons", "three-herons.sheet")
	commandstest.Golden(t, "plan", commandstest.Conversation(t, a,
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
	a := commandstest.New(t)
	commandstest.Demo(t, a, commandstest.Ana, "Three Herons", "three-herons.sheet")
	commandstest.Demo(t, a, commandstest.Ana, "Tide Line", "tide-line.sheet")
	commandstest.Answered(t, a, `/shelf add pieces:"spool 200m"`)
	commandstest.Answered(t, a, `/shelf add pieces:"spool 1m, spool 70m" cord:"4 mm plied moss"`)
	commandstest.Answered(t, a, `/shelf add pieces:"2 spools 60m" cord:"4 mm braided sand"`)
	commandstest.Answered(t, a, `/shelf add pieces:"spool 90m" cord:"4 mm plied sand"`)
	commandstest.Answered(t, a, `/shelf add pieces:"spool 80m" cord:"3 mm plied sand"`)
	herons := commandstest.Render(commandstest.Answered(t, a, `/plan project:"Three Herons" spool:50m`))
	require.Contains(t, herons, "not cut: 1 spool of 200.00 m of any: its thickness is not named")
	require.Contains(t, herons, "not cut: 1 spool of 70.00 m of 4 mm plied moss: it is moss, not sand")
	require.Contains(t, herons, "not cut: 1 spool of 70.00 m of 4 mm plied moss: it is moss, not reed")
	require.Contains(t, herons, "not cut: 2 spools of 60.00 m of 4 mm braided sand: it is braided, not plied")
	require.NotContains(t, herons, "80.00 m", "nobody thinks that another thickness would serve")
	require.NotContains(t, herons, "not cut: 1 spool of 90.00 m")
	short := commandstest.Render(commandstest.Answered(t, a, `/plan pieces:"3 x 2m" cord:"4 mm plied moss"`))
	require.Contains(t, short, "not cut: 1 spool of 1.00 m of 4 mm plied moss: it is shorter than the shortest piece")
	require.NotContains(t, short, "1 spool of 70.00 m of")
}

// A maker's shelf of two colours is not mixed up in a design of two colours, and
// no piece is cut twice.
func TestColoursAreKeptApart(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Demo(t, a, commandstest.Ana, "Three Herons", "three-herons.sheet")
	commandstest.Answered(t, a, `/shelf add pieces:"9m x8" cord:"4 mm plied, sand"`)
	commandstest.Answered(t, a, `/shelf add pieces:"9m x8" cord:"4 mm plied"`)
	commandstest.Answered(t, a, `/shelf add pieces:"9m x8" cord:"4 mm plied moss"`)
	answer := commandstest.Answered(t, a, `/plan project:"Three Herons" spool:50m`)
	require.NotContains(t, commandstest.Render(answer), "moss")
	booked := commandstest.Press(t, a, answer, "I have cut it: book it")
	require.False(t, booked.Refused, commandstest.Render(booked))
	for _, e := range commandstest.ShelfOf(t, a, commandstest.Ana).Entries {
		if e.Cord == "4 mm plied moss" {
			require.Equal(t, 8, e.Count)
		}
	}
}

// What one cord is cut from is not there for the next: an entry that is used up is
// gone, of any other the rest is left.
func TestWhatIsCutIsNoLongerThere(t *testing.T) {
	shelf := store.Leftovers{Revision: 4, Entries: []store.Leftover{{ID: "a", Count: 2}, {ID: "b", Count: 3}, {ID: "c", Count: 1}}}
	left := cutting.Without(shelf, []store.Take{{ID: "a", Count: 2}, {ID: "b", Count: 2}})
	require.Equal(t, store.Leftovers{Revision: 4, Entries: []store.Leftover{{ID: "b", Count: 1}, {ID: "c", Count: 1}}}, left)
}

// A cord is named for a list or for a design of one cord; several sizes of spool are
// read each, and what is wrong with one is answered with how several are written.
func TestPlanRefused(t *testing.T) {
	a := commandstest.Quick(t)
	commandstest.Demo(t, a, commandstest.Ana, "Tide Line", "tide-line.sheet")
	commandstest.Demo(t, a, commandstest.Ana, "Three Herons", "three-herons.sheet")
	commandstest.Answered(t, a, `/plan project:"Tide Line" cord:"4 mm white" spool:50m`)
	for line, says := range map[string]string{
		`/plan project:"Three Herons" cord:"4 mm white" spool:50m`: "leave cord out",
		`/plan pieces:"4 x 1m" spool:"50m, 0m"`:                    `spool:"50m, 100m"`,
		`/plan pieces:"4 x 1m" spool:"50m, 60m" price:"14.00"`:     "none, to buy the fewest metres",
		`/plan pieces:"4 x 1m" spool:"50m, 60m" price:14,24`:       `price:"14, 24"`,
		`/plan pieces:"4 x 1m" spool:"50m, 60m" price:14,24,30`:    "none, to buy the fewest metres",
		`/plan pieces:"4 x 1m, 3" spool:50m`:                       `pieces:"4 x 1m, 3cm" spool:50m`,
	} {
		answer := commandstest.Asked(t, a, line)
		require.True(t, answer.Refused, line)
		require.Contains(t, commandstest.Render(answer), says, line)
	}
	for price, cost := range map[string]string{`spool:50m price:14,24`: "cost 14.24", `spool:"50m, 60m" price:"14, 24"`: "cost 14.00", `spool:"50m, 60m" price:"14,50, 24"`: "cost 14.50"} {
		require.Contains(t, commandstest.FactOf(commandstest.Answered(t, a, `/plan pieces:"4 x 1m" `+price), "to buy"), cost, price)
	}
}

// The pieces are repeated as they were typed, with the member's units beside others: 30 in
// are 76.2 cm, and 1 m is 3 ft 3.37 in, which is cut at the next half inch.
func TestPiecesAreRepeatedAsTyped(t *testing.T) {
	a := commandstest.New(t)
	for _, tt := range []struct{ units, pieces string }{
		{"imperial", "A 12 x 30 in, B 2 x 2 ft 6 in, C 1 x 1 m (3 ft 3 1/2 in)"},
		{"metric", "A 12 x 30 in (76.2 cm), B 2 x 2 ft 6 in (76.2 cm), C 1 x 1 m"},
		{"both", "A 12 x 30 in (76.2 cm), B 2 x 2 ft 6 in (76.2 cm), C 1 x 1 m (3 ft 3 1/2 in)"},
	} {
		commandstest.Answered(t, a, "/prefs units:"+tt.units)
		answer := commandstest.Answered(t, a, `/plan pieces:"12 x 30in, 2ft6in x2, 1m" spool:100m`)
		require.Equal(t, tt.pieces, commandstest.FactOf(answer, "pieces"), tt.units)
	}
}

// Booking changes the shelf once, however often the request or the press is
// delivered, and a shelf that was changed meanwhile is left as it is.
func TestBookingOnce(t *testing.T) {
	plan := `/plan pieces:"4 x 1.1m" cord:"4 mm"`
	add := `/shelf add pieces:"2.5m x6" cord:"4 mm"`
	t.Run("pressed twice", func(t *testing.T) {
		a := commandstest.New(t)
		commandstest.Answered(t, a, add)
		answer := commandstest.Answered(t, a, plan)
		commandstest.Press(t, a, answer, "I have cut it: book it")
		once := commandstest.ShelfOf(t, a, commandstest.Ana)
		again := commandstest.Press(t, a, answer, "I have cut it: book it")
		require.False(t, again.Refused, commandstest.Render(again))
		require.Equal(t, once, commandstest.ShelfOf(t, a, commandstest.Ana))
	})
	for _, line := range []string{plan + " book:yes", add, "/shelf remove pieces:2.5m", "/shelf clear", "/shelf undo"} {
		t.Run("delivered twice: "+line, func(t *testing.T) {
			a := commandstest.New(t)
			commandstest.Answered(t, a, add)
			commandstest.Answered(t, a, add)
			req := commandstest.Typed(t, commandstest.Ana, line)
			first, err := a.Do(t.Context(), req)
			require.NoError(t, err)
			require.False(t, first.Refused, commandstest.Render(first))
			once := commandstest.ShelfOf(t, a, commandstest.Ana)
			second, err := a.Do(t.Context(), req)
			require.NoError(t, err)
			require.False(t, second.Refused, commandstest.Render(second))
			require.Equal(t, once, commandstest.ShelfOf(t, a, commandstest.Ana))
			if strings.Contains(line, "book:yes") {
				require.Contains(t, commandstest.Render(second), "Booked already", "no plan of what the first left")
			}
		})
	}
	t.Run("changed between plan and booking", func(t *testing.T) {
		a := commandstest.New(t)
		commandstest.Answered(t, a, add)
		answer := commandstest.Answered(t, a, plan)
		commandstest.Answered(t, a, "/shelf remove pieces:2.5m")
		before := commandstest.ShelfOf(t, a, commandstest.Ana)
		clash := commandstest.Press(t, a, answer, "I have cut it: book it")
		require.True(t, clash.Refused)
		require.Contains(t, commandstest.Render(clash), "nothing was booked")
		require.Equal(t, before, commandstest.ShelfOf(t, a, commandstest.Ana))
	})
}

// What is booked is what was cut: the shelf is shorter by what was cut from its
// own pieces and by their scraps, and longer by the rests of new spools. Undo
// brings back exactly what was there.
func TestBookingAddsUp(t *testing.T) {
	a := commandstest.New(t)
	members := 0
	rapid.Check(t, func(r *rapid.T) {
		ctx := context.Background()
		members++
		who := commandstest.Ana
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
			_, _, err := a.Room.Store.Once(ctx, who.Member, commandstest.Now, "", func(tx *store.Tx) (_ json.RawMessage, err error) {
				after, err = change(tx)
				return nil, err
			})
			require.NoError(r, err)
			return after
		}
		before := once(func(tx *store.Tx) (store.Leftovers, error) { return tx.ChangeLeftovers(change, store.AnyRevision) })

		var pieces []stock.Piece
		for i := range rapid.IntRange(1, 4).Draw(r, "pieces") {
			pieces = append(pieces, piece(i, rapid.IntRange(10, 350).Draw(r, "cm of piece"), rapid.IntRange(1, 6).Draw(r, "times")))
		}
		w := cutting.Of(words, pieces, spoolOf(rapid.IntRange(4, 20).Draw(r, "spool")))
		keep := length.Length(rapid.IntRange(0, 80).Draw(r, "keep")) * length.Centimetre
		done, err := cutting.Solve(ctx, w, before, keep, cutting.Budget)
		require.NoError(r, err)
		require.Empty(r, done.Plan.Unplaced)

		_, err = done.Take(ctx, commandstest.Seated(t, a, who), who, before.Revision)
		require.NoError(r, err)
		after, err := a.Room.Store.Leftovers(ctx, who.Member)
		require.NoError(r, err)

		var cut, rests, waste length.Length // cut from own pieces, rests of new spools, scraps of own pieces
		for _, p := range done.Plan.Patterns {
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

		if len(done.Takes)+len(done.Adds()) == 0 {
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
	return []stock.Stock{{Length: length.Length(metres) * length.Metre, Label: cutting.NewSpool}}
}
