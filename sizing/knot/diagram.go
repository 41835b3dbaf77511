package knot

import (
	"strings"

	"larkfold/sizing/diagram"
)

// Diagram is how a knot is tied: the way of every end through it, how far each has
// come at every step, and what proves that it is this knot and no other.
type Diagram struct {
	Draw   func(Body) diagram.Drawing // for a sinnet or a plait, one period
	Body   Body                       // what the pictures show it tied round
	Stages []Stage                    // one for every step of [Row.HowTo]
	Hands  [2]string                  // what the drawing and its mirror image are called; both empty if there is but one

	Closure diagram.Closure // how its ends are joined for the proof
	Type    string          // the knot or link that makes, a line of testdata/knots/types.csv, which has its source
	Mirror  string          // and the one that the mirror image makes

	Look Look
}

// Look is how a knot lies in a piece, as far as its shape and its diagram do not say.
type Look struct {
	Lies     Lie
	Open     bool // friction alone holds it, so that its ends are seen on their way through it
	Once     bool // the working ends cross in front once, not twice
	Mirrored bool // it is the mirror image of the knot that is drawn first
	OnCord   bool // it is tied round a cord of the work
}

// Lie is where the drawn-up strands of a knot go.
type Lie int

// How knots lie.
const (
	Stretched Lie = iota // working ends to the width of the knot, the others as they hang
	Apart                // as it is, in the middle of its place, though its diagram has a pitch
	Rolled               // square knots, rolled into a ball
	Woven                // flat and open, in two strands of half the ends each
)

// Look is that of the diagram; the zero value of a row without one.
func (r Row) Look() Look {
	if r.Diagram == nil {
		return Look{}
	}
	return r.Diagram.Look
}

// Body is what a knot is tied round, in cord diameters.
type Body struct {
	Cores int     // straight ends to be drawn with it; none when something else stands for them
	Half  float64 // half the width of all that the working ends go round
	Deep  float64 // half its depth
	Slack float64 // how far down the working ends begin to tie
}

// coreGap is how far apart straight ends are drawn.
const coreGap = 1.9

// round is a body of so many cords in a row.
func round(cores int) Body {
	return Body{Cores: cores, Half: coreGap/2*float64(cores-1) + 0.5, Deep: 0.5}
}

// Stage is how far a knot has come at one step.
type Stage struct {
	Reach []float64 // of every strand: how many points of its path it has met; All for all
	Body  *Body     // if it differs from the diagram's
	Drawn int       // so many knots drawn up instead, one below the other
}

// Come is how far a strand of the drawing has come at the stage, as a share of its
// path; of a folded one, of each half.
func (s Stage) Come(d diagram.Drawing, strand int) float64 {
	if s.Reach == nil || s.Reach[strand] == All {
		return 1
	}
	share := d[strand].At(s.Reach[strand])
	if d[strand].Folded {
		share *= 2
	}
	return share
}

// All is the reach of a strand that has gone all its way, or does not work.
const All = -1

// Drawing is the knot as the pictures show it, or its mirror image, in which ends
// are numbered from the left as well.
func (d *Diagram) Drawing(mirrored bool) diagram.Drawing { return d.drawing(d.Body, mirrored) }

// Stage is the drawing of a stage.
func (d *Diagram) Stage(s Stage, mirrored bool) diagram.Drawing {
	if s.Body != nil {
		return d.drawing(*s.Body, mirrored)
	}
	return d.drawing(d.Body, mirrored)
}

func (d *Diagram) drawing(b Body, mirrored bool) diagram.Drawing {
	drawn := d.Draw(b)
	if !mirrored {
		return drawn
	}
	names := map[string]string{}
	var numbers []string
	for _, s := range drawn {
		if isNumber(s.Name) {
			numbers = append(numbers, s.Name)
		}
	}
	for i, name := range numbers {
		names[name] = numbers[len(numbers)-1-i]
	}
	drawn = drawn.Map(diagram.Path.Mirrored)
	for i := range drawn {
		if other, ok := names[drawn[i].Name]; ok {
			drawn[i].Name = other
		}
	}
	return drawn
}

// Code joins the ends as the closure says and reads the crossings.
func (d *Diagram) Code(mirrored bool) diagram.Code {
	_, lines := d.Drawing(mirrored).Closed(d.Closure)
	return diagram.CodeOf(lines)
}

// TypeOf is the knot or link that the drawing, or its mirror image, makes.
func (d *Diagram) TypeOf(mirrored bool) string {
	if mirrored {
		return d.Mirror
	}
	return d.Type
}

func isNumber(name string) bool { return name != "" && name[0] >= '0' && name[0] <= '9' }

// mirroredText turns left into right in a text.
func mirroredText(text string) string {
	return strings.NewReplacer("left", "right", "right", "left", "Left", "Right", "Right", "Left").Replace(text)
}

// mirroredSteps turns left into right in steps.
func mirroredSteps(steps []string) []string {
	other := make([]string, len(steps))
	for i, s := range steps {
		other[i] = mirroredText(s)
	}
	return other
}

// Steps are the steps of the text for a hand.
func (r Row) Steps(mirrored bool) []string {
	if mirrored {
		return mirroredSteps(r.HowTo)
	}
	return r.HowTo
}
