// Package knot is the knot book: what every knot takes up, how tall and wide it
// is, how the ends leave it, and where each number comes from.
//
// A [Row] is one knot as data, the same for the book's own knots and for those a
// community adds: its [Role]s and their places from left to right, a formula for
// what each role takes up, and formulas for pitch, height and width. [Compile]
// checks a row and compiles it, a [Book] finds knots by name, and [Knot.Size]
// evaluates one for the cord in hand. Take-up is the length of cord that a knot swallows. For knots that
// advance along their own cords (Group) it includes the advance; for hitches
// over a carrier (Hitch) and for mounts it comes on top of the straight distance.
//
// What will hurt you: every formula is in working diameters, the diameter of
// cord squeezed in a knot, not in what the label says (see package cord); and
// the numbers are for evenly firm hands, so a maker's own samples (package
// swatch) outrank them.
package knot

import (
	"fmt"
	"slices"
	"strings"

	"larkfold/sizing/cord"
	"larkfold/sizing/formula"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
)

// Shape tells how a knot sits in the work.
type Shape string

// The shapes.
const (
	Group   Shape = "group"   // tied by a group of neighbouring ends, one below the other
	Hitch   Shape = "hitch"   // each end hitched over a carrier that crosses the work
	Mount   Shape = "mount"   // hangs a cord on a rod, or on the edge of the work
	Plait   Shape = "plait"   // strands braided over a length
	Wrap    Shape = "wrap"    // a separate cord wound round a bundle
	Pattern Shape = "pattern" // an arrangement of another knot; it has no take-up of its own
)

// Trust says how far a row's numbers can be relied on before a swatch is tied.
type Trust string

// The grades of trust.
const (
	High   Trust = "high"
	Medium Trust = "medium"
	Low    Trust = "low"
)

// Doubt is how far, as a share, what such a row says may lie from what an evenly firm
// hand takes, either way (common practice, no source): makers differ so in knots that
// were derived and measured, in those that friction moves, and in those that hands decide.
func (t Trust) Doubt() cord.Ratio {
	switch t {
	case High:
		return 0.05
	case Medium:
		return 0.10
	}
	return 0.20
}

// Row is one knot as data.
type Row struct {
	Name    string   `json:"name"`
	Short   string   `json:"short,omitempty"` // the trade's abbreviation
	Also    []string `json:"also,omitempty"`  // what else the trade calls it: trade usage, no source
	Shape   Shape    `json:"shape"`
	Family  Family   `json:"family,omitempty"`  // empty for the shape's own, see [Row.Kin]
	About   string   `json:"about"`             // one sentence
	Ends    int      `json:"ends"`              // how many ends it takes when nobody says
	Fewest  int      `json:"fewest"`            // the fewest it can take
	Most    int      `json:"most"`              // the most
	Step    int      `json:"step,omitempty"`    // the number of ends is a multiple of this; 0 for any
	Roles   []Role   `json:"roles"`             // every role that Places names
	Places  []string `json:"places"`            // roles from left to right; one may end in "..." and fills the group
	Cross   bool     `json:"cross,omitempty"`   // the outermost two ends leave on each other's side
	Pitch   string   `json:"pitch,omitempty"`   // formula: advance from one knot to the next
	Relaxed string   `json:"relaxed,omitempty"` // formula: the pitch of knots that lie as they come to lie
	Pushed  string   `json:"pushed,omitempty"`  // formula: the pitch of knots pushed up by hand
	Height  string   `json:"height,omitempty"`  // formula: the height it adds to the work
	Width   string   `json:"width,omitempty"`   // formula: the width it takes; of a mount, per cord
	Closer  string   `json:"closer,omitempty"`  // formula: a mount's width per cord, or the pitch of hitches, when pushed together
	HowTo   []string `json:"how_to"`            // how to tie it, step by step
	Diagram *Diagram `json:"-"`                 // how it is tied, in space; nil for what only its row is known of
	Source  string   `json:"source"`            // where the numbers come from
	Trust   Trust    `json:"trust"`
	Note    string   `json:"note,omitempty"` // what to watch for
}

// Role is what some ends of a knot do.
type Role struct {
	Name  string `json:"name"`
	Works bool   `json:"works"`          // ties the knot; otherwise it fills or carries
	Takes string `json:"takes"`          // formula: cord used by one knot, each end
	Once  bool   `json:"once,omitempty"` // charged once, not for every turn (the tails of a wrap)
}

// Knot is a checked row with its formulas compiled.
type Knot struct {
	Row
	takes                  []*formula.Formula
	pitch, relaxed, pushed *formula.Formula
	height, width, closer  *formula.Formula
}

// Gauge is the cord in hand.
type Gauge struct {
	Diameter length.Length // working diameter of the ends that work
	Core     length.Length // working diameter of what they close round; zero means the same
	Rod      length.Length // diameter of a round rod; only mounts use it
	Ends     int           // ends in the group; for a hitch or a wrap, one more than its cores
	Pitch    length.Length // advance from knot to knot; zero for the knot's own
	Soft     cord.Ratio    // how soft the cords inside are, see [cord.Construction.Softness]
}

// Size is one knot in a given cord.
type Size struct {
	Takes  []length.Length // per role, in the order of Row.Roles
	Pitch  length.Length
	Height length.Length
	Width  length.Length
	Closer length.Length // only mounts and hitches

	Relaxed, Pushed length.Length // pitches by other hands; zero where they are not known to differ
}

// Compile checks a row and compiles its formulas. The error tells what is wrong
// with the row; a formula's is a [formula.Fault].
func Compile(r Row) (*Knot, error) {
	if err := r.check(); err != nil {
		return nil, err
	}
	k := &Knot{Row: r}
	for _, role := range r.Roles {
		f, err := formula.Compile(role.Takes, formula.KnotRole)
		if err != nil {
			return nil, fmt.Errorf("knot %q, what the %s takes: %w", r.Name, role.Name, err)
		}
		k.takes = append(k.takes, f)
	}
	for _, part := range []struct {
		name, source string
		into         **formula.Formula
	}{{"pitch", r.Pitch, &k.pitch}, {"relaxed pitch", r.Relaxed, &k.relaxed}, {"pushed pitch", r.Pushed, &k.pushed}, {"height", r.Height, &k.height}, {"width", r.Width, &k.width}, {"closer", r.Closer, &k.closer}} {
		if part.source == "" {
			continue
		}
		f, err := formula.Compile(part.source, formula.KnotSize)
		if err != nil {
			return nil, fmt.Errorf("knot %q, its %s: %w", r.Name, part.name, err)
		}
		*part.into = f
	}
	return k, nil
}

// check refuses a row that no sheet could use.
func (r Row) check() error {
	fault := func(format string, args ...any) error {
		return fmt.Errorf("knot %q: %s", r.Name, fmt.Sprintf(format, args...))
	}
	switch {
	case strings.TrimSpace(r.Name) == "":
		return fmt.Errorf("a knot needs a name")
	case len(r.Name) > 40:
		return fault("the name is longer than 40 characters")
	case strings.TrimSpace(r.Source) == "":
		return fault("it names no source: a publication, \"derived\", \"common practice, no source\" or who measured it")
	case !slices.Contains([]Shape{Group, Hitch, Mount, Plait, Wrap, Pattern}, r.Shape):
		return fault("%q is no shape: group, hitch, mount, plait, wrap or pattern", r.Shape)
	case r.Family != "" && !slices.Contains(Families(), r.Family):
		return fault("%q is no family: square, hitch, mount or plait", r.Family)
	case r.Shape == Pattern:
		return nil
	case len(r.Roles) == 0:
		return fault("it has no roles")
	case r.Fewest < 1 || r.Ends < r.Fewest || r.Most < r.Ends:
		return fault("it takes %d ends, %d to %d, which is no range", r.Ends, r.Fewest, r.Most)
	}
	fills := 0
	for _, place := range r.Places {
		name, open := strings.CutSuffix(place, "...")
		if open {
			fills++
		}
		if r.role(name) < 0 {
			return fault("the place %q names no role; the roles are %s", place, strings.Join(r.roleNames(), ", "))
		}
	}
	if r.Shape == Group {
		if len(r.Places) == 0 {
			return fault("it does not say which end does what, from left to right")
		}
		if fills > 1 {
			return fault("two places end in \"...\"; only one can fill the group")
		}
		if fills == 0 && (r.Fewest != len(r.Places) || r.Most != len(r.Places)) {
			return fault("its places name %d ends, but it takes %d to %d", len(r.Places), r.Fewest, r.Most)
		}
		if r.Fewest < len(r.Places)-fills {
			return fault("its places name %d ends beside those that fill, but it takes %d to %d", len(r.Places)-fills, r.Fewest, r.Most)
		}
		if r.Height == "" {
			return fault("it has no height")
		}
	}
	return nil
}

func (r Row) role(name string) int {
	for i, role := range r.Roles {
		if role.Name == name {
			return i
		}
	}
	return -1
}

func (r Row) roleNames() []string {
	names := make([]string, len(r.Roles))
	for i, role := range r.Roles {
		names[i] = role.Name
	}
	return names
}

// Fits tells whether the knot can be tied by n ends, and if not, why.
func (r Row) Fits(n int) error {
	if n < r.Fewest || n > r.Most {
		if r.Fewest == r.Most {
			return fmt.Errorf("%s takes %s, not %d", noun.Article(r.Name), noun.Count(r.Fewest, "end"), n)
		}
		return fmt.Errorf("%s takes %d to %d ends, not %d", noun.Article(r.Name), r.Fewest, r.Most, n)
	}
	if r.Step > 1 && n%r.Step != 0 {
		return fmt.Errorf("%s takes a multiple of %d ends, not %d", noun.Article(r.Name), r.Step, n)
	}
	return nil
}

// Cast tells for each of n ends, left to right, which role (an index into
// Row.Roles) it has, and how many of them the working ends close round.
func (r Row) Cast(n int) (roles []int, cores int) {
	roles = make([]int, 0, n)
	for _, place := range r.Places {
		name, open := strings.CutSuffix(place, "...")
		times := 1
		if open {
			times = n - len(r.Places) + 1
		}
		for range times {
			roles = append(roles, r.role(name))
		}
	}
	for _, i := range roles {
		if !r.Roles[i].Works {
			cores++
		}
	}
	return roles, cores
}

// Size evaluates the knot for the cord in hand. The error tells which formula
// has no sensible value there.
func (k *Knot) Size(g Gauge) (Size, error) {
	q := formula.Quantities{Diameter: g.Diameter, Core: g.Core, Rod: g.Rod, Ends: g.Ends, Pitch: g.Pitch, Soft: g.Soft}
	switch k.Shape {
	case Group:
		_, q.Cores = k.Cast(g.Ends)
	case Hitch, Wrap:
		q.Cores = max(g.Ends-1, 1)
	}
	var s Size
	var err error
	value := func(f *formula.Formula) length.Length {
		if f == nil || err != nil {
			return 0
		}
		var v length.Length
		v, err = f.Length(q)
		return v
	}
	if g.Pitch == 0 {
		q.Pitch = value(k.pitch)
	}
	s.Pitch = q.Pitch
	s.Relaxed, s.Pushed = value(k.relaxed), value(k.pushed)
	s.Height, s.Width, s.Closer = value(k.height), value(k.width), value(k.closer)
	s.Takes = make([]length.Length, len(k.takes))
	for i, f := range k.takes {
		s.Takes[i] = value(f)
	}
	if err != nil {
		return Size{}, fmt.Errorf("knot %q: %w", k.Name, err)
	}
	return s, nil
}

// Take is what one end in the named role uses. It is zero for a role the knot
// does not have.
func (k *Knot) Take(s Size, role string) length.Length {
	if i := k.role(role); i >= 0 {
		return s.Takes[i]
	}
	return 0
}
