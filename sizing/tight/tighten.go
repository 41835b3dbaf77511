package tight

import (
	"context"
	"errors"
	"fmt"
	"math"
)

// Settings are how finely and how long a rope is tightened.
type Settings struct {
	Edges     []Diameters // edge length of the polylines, stage by stage, each finer than the last
	Stiffness []float64   // of a contact, in tensions per diameter squared; every stage goes through all of them
	Rounds    int         // most rounds at each stiffness
	Steps     int         // most steps of a round
	Settled   Diameters   // a stiffness is done when a round changes the length by less than this
	Seed      uint64      // of the small disorder that starts off perfect symmetry
}

// Coarse settings take a second or so for each row and are good to about 1 %.
func Coarse() Settings {
	return Settings{
		Edges: []Diameters{0.3, 0.2}, Stiffness: []float64{20, 200},
		Rounds: 10, Steps: 200, Settled: 3e-3, Seed: 1,
	}
}

// Fine settings made the kept table: up to a minute for each row, about six
// minutes for all on one core.
func Fine() Settings {
	return Settings{
		Edges: []Diameters{0.3, 0.2, 0.1}, Stiffness: []float64{20, 100, 400},
		Rounds: 20, Steps: 500, Settled: 5e-4, Seed: 1,
	}
}

// String writes the settings on one line.
func (s Settings) String() string {
	return fmt.Sprintf("edges %v, stiffness %v, rounds %d, steps %d, settled %g, seed %d",
		s.Edges, s.Stiffness, s.Rounds, s.Steps, float64(s.Settled), s.Seed)
}

func (s Settings) check() error {
	if len(s.Edges) == 0 || len(s.Stiffness) == 0 || s.Rounds < 1 || s.Steps < 1 {
		return fmt.Errorf("settings “%s” lack edges, stiffness, rounds or steps", s)
	}
	last := Diameters(0.5)
	for _, e := range s.Edges {
		if !(e >= 0.01 && e <= last) {
			return fmt.Errorf("edges are %v; they must go down from 0.5 to 0.01 diameters at most", s.Edges)
		}
		last = e
	}
	for _, k := range s.Stiffness {
		if !(k >= 1 && k <= 1e4) {
			return fmt.Errorf("stiffness is %v; it must lie between 1 and 10000", s.Stiffness)
		}
	}
	return nil
}

// errTangled is a start whose strands are inside one another.
var errTangled = errors.New("the starting shape has strands inside one another")

// stage is the outcome of tightening at one edge length.
type stage struct {
	edge    float64 // the mean edge that was laid
	rope    *rope
	length  float64 // of the paying cords, corrected to first order for overlaps
	owed    float64 // the correction
	settled bool
}

// tighten shortens a rope as far as contacts, bends, held ends and pitch allow,
// at each edge length in turn, and returns every stage.
func tighten(ctx context.Context, start *rope, s Settings) ([]stage, error) {
	if err := start.check(); err != nil {
		return nil, err
	}
	r := start.clone()
	if err := prepare(ctx, r, s); err != nil {
		return nil, err
	}
	var stages []stage
	for _, edge := range s.Edges {
		r.resample(float64(edge))
		st, err := tightenStage(ctx, r, float64(edge), s)
		if err != nil {
			return nil, fmt.Errorf("at edge %g: %w", float64(edge), err)
		}
		stages = append(stages, st)
		r = st.rope.clone()
	}
	return stages, nil
}

// prepare disturbs the start a little, draws it up loosely, and brings it to
// the wanted pitch by small steps, relaxing after each.
func prepare(ctx context.Context, r *rope, s Settings) error {
	edge, stiffness := float64(s.Edges[0]), s.Stiffness[0]
	r.resample(edge)
	r.disturb(0.02, s.Seed)
	relax := func(steps int) error {
		r.resample(edge)
		d := newDescent(newCost(r, stiffness))
		if d.evaluate(d.x, d.gradient); d.least < closestPass {
			return errTangled
		}
		_, err := d.run(ctx, steps, 1e-3*edge)
		return err
	}
	if err := relax(s.Steps); err != nil {
		return err
	}
	for wanted := r.repeat.wanted; wanted > 0 && r.repeat.pitch != wanted; {
		pitch, step := wanted, 0.03*r.repeat.pitch
		if gap := wanted - r.repeat.pitch; math.Abs(gap) > step {
			pitch = r.repeat.pitch + math.Copysign(step, gap)
		}
		r.stretch(pitch)
		if err := relax(s.Steps / 4); err != nil {
			return err
		}
	}
	return nil
}

// tightenStage lays the points anew while the cords still shorten much, then
// goes on with stiffer and stiffer contacts.
func tightenStage(ctx context.Context, r *rope, edge float64, s Settings) (stage, error) {
	st := stage{edge: edge, rope: r}
	for _, stiffness := range s.Stiffness {
		laid, before := 0.0, math.Inf(1)
		st.settled = false
		var d *descent
		for range s.Rounds {
			if d == nil || r.total() < 0.9*laid {
				r.resample(edge)
				laid = r.total()
				d = newDescent(newCost(r, stiffness))
				if d.evaluate(d.x, d.gradient); d.least < closestPass {
					return st, errTangled
				}
			}
			reached, err := d.run(ctx, s.Steps, 1e-3*edge)
			if err != nil {
				return st, err
			}
			d.evaluate(d.x, d.gradient)
			st.edge, st.length, st.owed = d.edge, r.total()+d.owed, d.owed
			st.settled = reached || math.Abs(st.length-before) < float64(s.Settled)
			before = st.length
			if st.settled {
				break
			}
		}
	}
	return st, nil
}
