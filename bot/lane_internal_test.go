package bot

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// join joins a lane and tells order when its turn has come, after which it takes so long.
func join(t require.TestingT, l *lane, member, kind string, takes time.Duration, order *[]string, mu *sync.Mutex) {
	k, err := l.join(task{member: member, kind: kind})
	require.NoError(t, err)
	go func() {
		if err := l.await(context.Background(), k); err != nil {
			return
		}
		mu.Lock()
		*order = append(*order, member)
		mu.Unlock()
		time.Sleep(takes)
		l.leave(k)
	}()
}

func TestMembersTakeTurns(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		l := newLane("desk", 1, 9, time.Hour)
		var order []string
		var mu sync.Mutex
		for _, member := range []string{"ana", "ana", "ana", "ben", "ben", "cy"} {
			join(t, l, member, "cord", 10*time.Millisecond, &order, &mu)
		}
		time.Sleep(5 * time.Millisecond)
		synctest.Wait()
		join(t, l, "dee", "cord", 10*time.Millisecond, &order, &mu)
		time.Sleep(time.Second)
		synctest.Wait()
		require.Equal(t, []string{"ana", "ben", "cy", "dee", "ana", "ben", "ana"}, order)
	})
}

// TestNobodyWaitsBehindSecondTasks: whoever comes while others wait begins before
// anybody's second waiting task, however many there are.
func TestNobodyWaitsBehindSecondTasks(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		l := newLane("desk", 1, 1000, 24*time.Hour)
		busy, err := l.join(task{member: "first"})
		require.NoError(t, err)
		waiting := map[string]int{}
		var begun []string
		for i := range rapid.IntRange(1, 30).Draw(t, "tasks") {
			member := fmt.Sprint(rapid.IntRange(0, 4).Draw(t, "member"))
			if i%7 == 6 { // a turn is given back meanwhile
				l.leave(busy)
				busy = l.busy[0]
				waiting[busy.member]--
			}
			_, err := l.join(task{member: member})
			require.NoError(t, err)
			waiting[member]++
		}
		_, err = l.join(task{member: "new"})
		require.NoError(t, err)
		for len(l.queue) > 0 {
			l.leave(busy)
			busy = l.busy[0]
			begun = append(begun, busy.member)
		}
		seen := map[string]int{}
		for _, member := range begun {
			if member == "new" {
				break
			}
			seen[member]++
			require.LessOrEqual(t, seen[member], 2, "%v: one waiting task of each before, and one whose round had begun", begun)
		}
		require.Contains(t, begun, "new")
	})
}

func TestQuickTasksGoBeforeOthers(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		l := newLane("desk", 1, 9, time.Hour)
		l.usual, l.costs["cord"] = 9*time.Millisecond, 3*time.Millisecond
		l.costs["convert"] = 3*time.Millisecond - 1
		var order []string
		var mu sync.Mutex
		join(t, l, "busy", "cord", 10*time.Millisecond, &order, &mu)
		for i, kind := range []string{"cord", "cord", "convert", "convert", "convert"} {
			join(t, l, fmt.Sprint(kind, i), kind, 5*time.Millisecond, &order, &mu)
		}
		time.Sleep(3 * time.Millisecond)
		synctest.Wait()
		_, busy, _ := l.figures()
		require.Equal(t, 3, busy, "two quick ones are done beside another")
		time.Sleep(time.Second)
		synctest.Wait()
		require.ElementsMatch(t, []string{"busy", "convert2", "convert3"}, order[:3])
		require.Equal(t, []string{"convert4", "cord0", "cord1"}, order[3:])
	})
}

func TestAdmissionByExpectedWait(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		l := newLane("bench", 2, 9, 300*time.Millisecond)
		l.costs["resize"] = 100 * time.Millisecond
		var order []string
		var mu sync.Mutex
		// Two are done, four wait: one more waits (2+4)·100/2 ms, which is just the most.
		for i := range 7 {
			join(t, l, fmt.Sprint(i), "resize", 100*time.Millisecond, &order, &mu)
		}
		_, err := l.join(task{member: "late", kind: "resize"})
		var busy *busyError
		require.ErrorAs(t, err, &busy)
		require.Equal(t, 350*time.Millisecond, busy.wait)
		_, _, turned := l.figures()
		require.Equal(t, 1, turned)
		time.Sleep(60 * time.Millisecond) // what is done counts less
		synctest.Wait()
		require.Equal(t, 290*time.Millisecond, l.expected())
		join(t, l, "late", "resize", 0, &order, &mu)
		time.Sleep(time.Second)
		synctest.Wait()
		require.Len(t, order, 8)
	})
}

func TestCostsAreLearned(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		l := newLane("bench", 1, 9, time.Hour)
		for range 60 {
			leave, err := l.enter(t.Context(), task{member: "ana", kind: "resize", amount: 1000})
			require.NoError(t, err)
			time.Sleep(50 * time.Millisecond)
			leave()
			leave() // twice is once
		}
		require.InDelta(t, 50*time.Microsecond, l.costs["resize"], float64(time.Microsecond))
		require.InDelta(t, 500*time.Millisecond, l.cost(task{kind: "resize", amount: 10_000}), float64(10*time.Millisecond))
		require.Empty(t, l.of)
		require.Empty(t, l.last)
	})
}

func TestAMemberHasFewTasksInHand(t *testing.T) {
	t.Parallel()
	l := newLane("desk", 1, 2, time.Hour)
	first, err := l.join(task{member: "ana"})
	require.NoError(t, err)
	_, err = l.join(task{member: "ana"})
	require.NoError(t, err)
	_, err = l.join(task{member: "ana"})
	require.ErrorIs(t, err, errMemberBusy)
	_, err = l.join(task{member: "ben"})
	require.NoError(t, err)
	l.leave(first)
	_, err = l.join(task{member: "ana"})
	require.NoError(t, err)
}

func TestMemoryIsShared(t *testing.T) {
	t.Parallel()
	l := newLane("bench", 3, 9, time.Hour)
	l.memory = 100
	tickets := make([]*ticket, 4)
	for i, bytes := range []int{60, 40, 1, 500} {
		var err error
		tickets[i], err = l.join(task{member: fmt.Sprint(i), bytes: bytes})
		require.NoError(t, err)
	}
	require.Len(t, l.busy, 2, "100 of 100 are taken")
	l.leave(tickets[0])
	require.Len(t, l.busy, 2, "one byte more fits, 500 do not")
	l.leave(tickets[1])
	require.Equal(t, []*ticket{tickets[2]}, l.busy)
	l.leave(tickets[2])
	require.Equal(t, []*ticket{tickets[3]}, l.busy, "what is larger than all runs alone")
}

func TestWhoeverLeavesTheQueueIsForgotten(t *testing.T) {
	t.Parallel()
	l := newLane("desk", 1, 9, time.Hour)
	busy, err := l.join(task{member: "ana"})
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = l.enter(ctx, task{member: "ben"})
	require.ErrorIs(t, err, context.Canceled)
	waits, err := l.join(task{member: "cy"})
	require.NoError(t, err)
	l.close()
	require.ErrorIs(t, l.await(t.Context(), waits), errClosing)
	_, err = l.join(task{member: "dee"})
	require.ErrorIs(t, err, errClosing)
	l.leave(busy)
	require.Empty(t, l.of)
	require.Empty(t, l.queue)
}

func TestWaitsAreSaidInWholeSeconds(t *testing.T) {
	t.Parallel()
	for wait, want := range map[time.Duration]string{
		0: "a second", time.Second: "a second", time.Second + 1: "2 seconds", 11500 * time.Millisecond: "12 seconds",
	} {
		require.Equal(t, want, inSeconds(wait))
	}
}

func TestEveryErrorOfALaneIsToldAsSuch(t *testing.T) {
	t.Parallel()
	for _, err := range []error{errMemberBusy, errClosing, &busyError{time.Second}, fmt.Errorf("sizing: %w", &busyError{time.Second})} {
		require.True(t, isTurnedAway(err), err)
	}
	require.False(t, isTurnedAway(errors.New("the store is gone")))
	require.False(t, isTurnedAway(nil))
}

// TestUnknownHeavyWorkIsNoHour: what nothing is known of yet is not taken to last so
// long that everybody after it is sent away.
func TestUnknownHeavyWorkIsNoHour(t *testing.T) {
	t.Parallel()
	l := newLane("bench", 1, 2, 20*time.Second)
	for range 2 {
		_, err := l.join(task{member: "ana", kind: "resize", amount: 200_000})
		require.NoError(t, err)
	}
	_, err := l.join(task{member: "ben", kind: "resize", amount: 200_000})
	require.NoError(t, err)
	require.Less(t, l.expected(), 5*time.Second)
	require.Equal(t, unknownCost, l.cost(task{kind: "press"}))
	require.Equal(t, unknownCost, l.cost(task{kind: "print", amount: 1}))
}
