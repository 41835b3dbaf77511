package bot

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"sync/atomic"
	"testing"
	"time"

	"larkfold/commands/reply"

	"github.com/stretchr/testify/require"
)

func testEasel() *easel {
	return newEasel(newLane("easel", 1, 100, time.Hour), newLane("desk", 1, 100, time.Hour), func(string) {}, slog.New(slog.DiscardHandler), newRedactor(""))
}

// countedPicture counts how often it is drawn.
func countedPicture(key string, bytes int, drawn *atomic.Int32) reply.Picture {
	return reply.Picture{Name: "a.png", Key: key, Draw: func() (reply.Image, error) {
		drawn.Add(1)
		return reply.Image{PNG: make([]byte, bytes), Alt: key}, nil
	}}
}

func TestAPictureIsDrawnOnceForItsKey(t *testing.T) {
	t.Parallel()
	e := testEasel()
	counted := map[string]int{} // under e.mu
	e.count = func(how string) { counted[how]++ }
	var drawn, unkeyed atomic.Int32
	for range 5 {
		for _, p := range []reply.Picture{countedPicture("k", 1, &drawn), countedPicture("", 1, &unkeyed)} {
			made, err := e.begin(context.Background(), "ana", p)
			require.NoError(t, err)
			<-made.done
			require.Equal(t, p.Key, made.image.Alt)
		}
	}
	require.EqualValues(t, 1, drawn.Load())
	require.EqualValues(t, 5, unkeyed.Load(), "without a key it is like no other")
	require.Equal(t, map[string]int{"drawn": 6, "kept": 4}, counted)
}

func TestTwoWaitForOnePainting(t *testing.T) {
	t.Parallel()
	e := testEasel()
	release := make(chan struct{})
	var drawn atomic.Int32
	slow := reply.Picture{Key: "k", Draw: func() (reply.Image, error) {
		drawn.Add(1)
		<-release
		return reply.Image{}, nil
	}}
	one, err := e.begin(context.Background(), "ana", slow)
	require.NoError(t, err)
	two, err := e.begin(context.Background(), "ben", slow)
	require.NoError(t, err)
	require.Same(t, one, two)
	close(release)
	<-two.done
	require.EqualValues(t, 1, drawn.Load())
}

func TestTheLongestUnusedPictureMakesRoom(t *testing.T) {
	t.Parallel()
	e := testEasel()
	var drawn atomic.Int32
	show := func(key string) {
		made, err := e.begin(context.Background(), "ana", countedPicture(key, mostKept/4, &drawn))
		require.NoError(t, err)
		<-made.done
		require.Eventually(t, func() bool { w, b, _ := e.lane.figures(); return w+b == 0 }, 30*time.Second, time.Millisecond)
	}
	for i := range 4 {
		show(fmt.Sprint(i))
	}
	show("0") // used again
	show("4") // 1 makes room
	require.EqualValues(t, 5, drawn.Load())
	show("0")
	require.EqualValues(t, 5, drawn.Load())
	show("1")
	require.EqualValues(t, 6, drawn.Load())
	require.LessOrEqual(t, e.bytes, mostKept)
	require.Len(t, e.kept, 4)
	require.Equal(t, 4, e.order.Len())
	require.Zero(t, e.held)
	require.Empty(t, e.under)
}

func TestAPictureThatFailsIsTriedAgain(t *testing.T) {
	t.Parallel()
	e := testEasel()
	for _, draw := range []func() (reply.Image, error){
		func() (reply.Image, error) { return reply.Image{}, errors.New("no ink") },
		func() (reply.Image, error) { panic("no ink") },
	} {
		made, err := e.begin(context.Background(), "ana", reply.Picture{Key: "k", Draw: draw})
		require.NoError(t, err)
		<-made.done
		require.Error(t, made.err)
	}
	var drawn atomic.Int32
	made, err := e.begin(context.Background(), "ana", countedPicture("k", 1, &drawn))
	require.NoError(t, err)
	<-made.done
	require.NoError(t, made.err)
}

func TestPicturesThatWaitHoldOnlySoMuch(t *testing.T) {
	t.Parallel()
	e := testEasel()
	release := make(chan struct{})
	big := func(size int) reply.Picture {
		return reply.Picture{Size: size, Draw: func() (reply.Image, error) { <-release; return reply.Image{}, nil }}
	}
	first, err := e.begin(context.Background(), "ana", big(2*mostHeld))
	require.NoError(t, err, "alone it may hold more")
	_, err = e.begin(context.Background(), "ben", big(usualSize*8+1))
	require.ErrorAs(t, err, new(*busyError))
	for range mostHeld / usualSize { // small ones are not crowded out by it
		_, err = e.begin(context.Background(), "ben", big(usualSize))
		require.NoError(t, err)
	}
	last, err := e.begin(context.Background(), "ben", big(0))
	require.NoError(t, err)
	_, err = e.begin(context.Background(), "cleo", big(1))
	require.ErrorAs(t, err, new(*busyError), "but by one another")
	close(release)
	<-first.done
	<-last.done
	require.Zero(t, e.held)
	_, err = e.begin(context.Background(), "ben", big(mostHeld))
	require.NoError(t, err)
}
