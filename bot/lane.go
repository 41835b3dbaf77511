package bot

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"
	"time"
)

// lane is where work of one kind waits for its turn. Members take turns: nobody's
// second task begins before everybody's first. Quick tasks go before others.
type lane struct {
	name    string
	workers int           // tasks done at once
	memory  int           // bytes that they may hold together; 0: not counted
	inHand  int           // tasks that one member may have here, waiting and done
	longest time.Duration // a task that would wait for longer is turned away

	mu      sync.Mutex
	costs   map[string]time.Duration // of one unit of each kind, as measured lately
	usual   time.Duration            // what a task takes, of any kind
	queue   []*ticket                // in the order of their turns
	busy    []*ticket
	held    int            // bytes
	round   int            // of the task that began last
	last    map[string]int // round of each member's newest task
	of      map[string]int // tickets of each member, waiting and busy
	turned  int            // away, since the start
	closing bool
}

// task is work that asks for a turn.
type task struct {
	member string
	kind   string  // tasks of a kind cost alike
	amount float64 // in units of its kind
	bytes  int     // that it holds while it is done
}

// ticket is a task in a lane.
type ticket struct {
	task
	cost  time.Duration // expected
	quick bool
	round int // no task begins before all of earlier rounds did
	began time.Time
	turn  chan error
}

// What is taken for a task that nothing is known of yet: so much, and so much for each
// unit beyond the first.
const (
	unknownCost = 3 * time.Millisecond
	unknownUnit = 5 * time.Microsecond
)

// A task is quick if it takes a small part of what tasks in its lane usually take,
// however slow the machine is. A few quick ones are done beside the others.
const (
	quickPart   = 3
	quickBeside = 2
)

// errMemberBusy turns a member away who has enough tasks in a lane.
var errMemberBusy = errors.New("the member has other tasks in hand")

// errClosing turns away whoever waits when the bot is told to stop.
var errClosing = errors.New("the bot is being restarted")

// busyError turns a task away that would wait too long.
type busyError struct{ wait time.Duration }

func (e *busyError) Error() string { return fmt.Sprintf("it would wait for %s", e.wait) }

func newLane(name string, workers, inHand int, longest time.Duration) *lane {
	return &lane{name: name, workers: workers, inHand: inHand, longest: longest, costs: map[string]time.Duration{}, last: map[string]int{}, of: map[string]int{}}
}

// enter waits for a task's turn. leave must be called when it is done. The error is
// errMemberBusy, a *busyError, errClosing, or the context's.
func (l *lane) enter(ctx context.Context, t task) (leave func(), err error) {
	k, err := l.join(t)
	if err != nil {
		return nil, err
	}
	if err := l.await(ctx, k); err != nil {
		return nil, err
	}
	return sync.OnceFunc(func() { l.leave(k) }), nil
}

// await waits for a ticket's turn.
func (l *lane) await(ctx context.Context, k *ticket) error {
	select {
	case err := <-k.turn:
		return err
	case <-ctx.Done():
		if l.withdraw(k) {
			return ctx.Err()
		}
		return <-k.turn // it came at the same time
	}
}

// join puts a task into the queue, unless it is turned away.
func (l *lane) join(t task) (*ticket, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	k := &ticket{task: t, cost: l.cost(t), turn: make(chan error, 1)}
	k.quick, k.round = quickPart*k.cost < l.usual, l.round
	if newest, ok := l.last[t.member]; ok {
		k.round = max(l.round, newest+1)
	}
	wait := l.ahead(k) / time.Duration(l.workers)
	var refusal error
	switch {
	case l.closing:
		return nil, errClosing
	case l.of[t.member] >= l.inHand:
		refusal = errMemberBusy
	case wait > l.longest:
		refusal = &busyError{wait}
	}
	if refusal != nil {
		l.turned++
		return nil, refusal
	}
	l.of[t.member]++
	l.last[t.member] = k.round
	at, _ := slices.BinarySearchFunc(l.queue, k, func(other, k *ticket) int {
		if other.before(k) {
			return -1
		}
		return 1
	})
	l.queue = slices.Insert(l.queue, at, k)
	l.begin()
	return k, nil
}

// before tells whether k's turn comes no later than that of one who joins now.
func (k *ticket) before(joining *ticket) bool {
	if k.quick != joining.quick {
		return k.quick
	}
	return k.round <= joining.round
}

// ahead is the expected work that comes before a ticket. l.mu is held.
func (l *lane) ahead(k *ticket) time.Duration {
	var sum time.Duration
	if len(l.busy) >= l.room(k) {
		for _, b := range l.busy {
			sum += max(0, b.cost-time.Since(b.began))
		}
	}
	for _, other := range l.queue {
		if other.before(k) {
			sum += other.cost
		}
	}
	return sum
}

// room is how many may be busy when a task begins. l.mu is held.
func (l *lane) room(k *ticket) int {
	if k.quick {
		return l.workers + quickBeside
	}
	return l.workers
}

// cost is what a task is expected to take. l.mu is held.
func (l *lane) cost(t task) time.Duration {
	units := max(t.amount, 1)
	if unit, known := l.costs[t.kind]; known {
		return time.Duration(float64(unit) * units)
	}
	return unknownCost + time.Duration(float64(unknownUnit)*(units-1))
}

// begin hands out turns while there are free workers and memory. l.mu is held.
func (l *lane) begin() {
	for len(l.queue) > 0 && len(l.busy) < l.room(l.queue[0]) {
		k := l.queue[0]
		if l.memory > 0 && len(l.busy) > 0 && l.held+k.bytes > l.memory {
			return // its turn comes when others have given theirs back
		}
		l.queue = l.queue[1:]
		l.round = max(l.round, k.round)
		l.held += k.bytes
		k.began = time.Now()
		l.busy = append(l.busy, k)
		k.turn <- nil
	}
}

// withdraw takes a ticket out of the queue; false when its turn has come.
func (l *lane) withdraw(k *ticket) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	at := slices.Index(l.queue, k)
	if at < 0 {
		return false
	}
	l.queue = slices.Delete(l.queue, at, at+1)
	l.gone(k)
	return true
}

func (l *lane) gone(k *ticket) {
	if l.of[k.member]--; l.of[k.member] == 0 {
		delete(l.of, k.member)
		delete(l.last, k.member)
	}
}

// leave gives a turn back and learns what the task took.
func (l *lane) leave(k *ticket) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.busy = slices.DeleteFunc(l.busy, func(other *ticket) bool { return other == k })
	l.held -= k.bytes
	l.gone(k)
	spent := time.Since(k.began)
	unit := time.Duration(float64(spent) / max(k.amount, 1))
	if known, ok := l.costs[k.kind]; ok {
		unit = lately(known, unit)
	}
	l.costs[k.kind] = unit
	l.usual = lately(l.usual, spent)
	l.begin()
}

// lately is a mean in which what is newer counts more.
func lately(before, now time.Duration) time.Duration {
	const fresh = 0.1
	return time.Duration((1-fresh)*float64(before) + fresh*float64(now))
}

// close turns away all who wait, and whoever comes.
func (l *lane) close() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.closing = true
	for _, k := range l.queue {
		l.gone(k)
		k.turn <- errClosing
	}
	l.queue = nil
}

// expected is how long somebody new would wait.
func (l *lane) expected() time.Duration {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.ahead(&ticket{round: l.round}) / time.Duration(l.workers)
}

// figures are for the metrics.
func (l *lane) figures() (waiting, busy, turned int) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return len(l.queue), len(l.busy), l.turned
}

// inSeconds says a wait in whole seconds, never too short.
func inSeconds(wait time.Duration) string {
	n := max(1, int(math.Ceil(wait.Seconds())))
	if n == 1 {
		return "a second"
	}
	return fmt.Sprintf("%d seconds", n)
}

// openLanes makes the lanes. The counter is for what costs next to nothing and must
// never stand behind anything: as good as open. The bench and the easel keep a
// processor busy each, and leave another to the desk.
func (d *dispatcher) openLanes(deskWorkers int) {
	const never = time.Hour
	slow := max(1, runtime.GOMAXPROCS(0)/2)
	d.counter = newLane("counter", 64, 8, never)
	d.desk = newLane("desk", deskWorkers, 4, time.Second)
	d.bench = newLane("bench", slow, 2, 20*time.Second)
	d.bench.memory = 96 << 20
	d.easel = newEasel(newLane("easel", slow, 6, 10*time.Second), d.desk, d.metrics.pictured, d.log, d.redact)
}

func (d *dispatcher) lanes() []*lane { return []*lane{d.counter, d.desk, d.bench, d.easel.lane} }

// closeLanes tells all who wait that the bot is being restarted. Pictures are still
// drawn: words were given for them.
func (d *dispatcher) closeLanes() {
	for _, l := range d.lanes() {
		if l != d.easel.lane {
			l.close()
		}
	}
}
