package bot

import (
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// idMade is an id that the platform made at a time of its own clock.
func idMade(at time.Time) string { return strconv.FormatInt((at.UnixMilli()-epoch)<<22, 10) }

func TestIDsTellTheirTime(t *testing.T) {
	t.Parallel()
	// The platform's documentation takes this id apart (reference, Snowflakes).
	at, ok := made("175928847299117063")
	require.True(t, ok)
	require.Equal(t, time.UnixMilli(1462015105796), at)
	_, ok = made("no number")
	require.False(t, ok)
}

func TestAgesOfInteractions(t *testing.T) {
	t.Parallel()
	start := time.UnixMilli(1_790_000_000_000)
	const second, ms = time.Second, time.Millisecond
	for name, test := range map[string]struct {
		skew  time.Duration // of our clock against the platform's
		ahead time.Duration // of it as the platform's answers say
		known bool
		steps [][3]time.Duration // when it was made and received after the start, and the age it should have
	}{
		"a good clock":              {0, 0, true, [][3]time.Duration{{0, 50 * ms, 50 * ms}, {second, second + 80*ms, 30 * ms}, {2 * second, 5 * second, 2950 * ms}}},
		"first one late":            {0, 0, true, [][3]time.Duration{{0, 2500 * ms, 2500 * ms}}},
		"first one, nothing known":  {0, 0, false, [][3]time.Duration{{0, 2500 * ms, 0}, {3 * second, 3100 * ms, 0}, {4 * second, 6 * second, 1900 * ms}}},
		"a clock that is ahead":     {40 * second, 40 * second, true, [][3]time.Duration{{0, 100 * ms, 100 * ms}, {second, 3 * second, 1900 * ms}}},
		"one that is behind":        {-40 * second, 0, false, [][3]time.Duration{{0, 100 * ms, 0}, {second, 3 * second, 1900 * ms}}},
		"all of late were late":     {0, 0, true, [][3]time.Duration{{0, 4 * second, 4 * second}, {second, 5 * second, 3 * second}, {9 * second, 9100 * ms, 0}, {10 * second, 12 * second, 1900 * ms}}},
		"a resume after a while":    {0, 0, true, [][3]time.Duration{{0, 50 * ms, 50 * ms}, {400 * second, 402 * second, 1950 * ms}}},
		"and after a long while":    {0, 0, true, [][3]time.Duration{{0, 50 * ms, 50 * ms}, {4000 * second, 4004 * second, 4 * second}}},
		"older than any token":      {0, 0, true, [][3]time.Duration{{0, 50 * ms, 50 * ms}, {0, 950 * second, 0}, {960 * second, 962 * second, 2 * second}}},
		"clocks that are put right": {5 * second, 0, false, [][3]time.Duration{{0, 0, 0}, {20 * second, 15 * second, 0}, {30 * second, 25 * second, 0}}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			c := &clock{ahead: func() (time.Duration, bool) { return test.ahead, test.known }}
			for i, s := range test.steps {
				got := c.age(idMade(start.Add(s[0])), start.Add(s[1]+test.skew))
				require.Equal(t, s[2], got, "interaction %d", i)
			}
		})
	}
	c := &clock{ahead: func() (time.Duration, bool) { return 0, true }}
	require.Zero(t, c.age("x", start))
}

func TestAcknowledgedSoonerTheOlderItIs(t *testing.T) {
	t.Parallel()
	timing := Timing{}.withDefaults()
	for age, want := range map[time.Duration]time.Duration{
		0: 1500 * time.Millisecond, 500 * time.Millisecond: 1500 * time.Millisecond, time.Second: time.Second,
		2 * time.Second: 0, 2500 * time.Millisecond: -500 * time.Millisecond,
	} {
		in := &interaction{received: time.UnixMilli(0), age: age}
		require.Equal(t, want, in.acknowledgeBy(timing).Sub(in.received), age)
		require.Equal(t, 3*time.Second-age, in.answerBy(timing).Sub(in.received), age)
	}
}
