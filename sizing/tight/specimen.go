package tight

import (
	"fmt"
	"strings"
)

// specimen is one rope to tighten: what is known of its row beforehand, its
// loose starts, of which the one that becomes shortest is kept, and how the
// total length is shared out.
type specimen struct {
	row    Row
	starts []*rope
	share  float64 // total length over the row's length
	across [2]axis // where width and depth are measured; the same twice for not at all
}

var (
	sinnet = [2]axis{xAxis, yAxis}
	onRod  = [2]axis{zAxis, xAxis}
	inLine = [2]axis{yAxis, zAxis}
	no     = [2]axis{}
)

// specimens lists every knot with the maker of its specimens, in the order of Names.
func specimens() []struct {
	name      string
	specimens func() []specimen
} {
	return []struct {
		name      string
		specimens func() []specimen
	}{
		{"Hopf link", hopfLinks},
		{"trefoil", trefoils},
		{"figure-eight", figureEights},
		{"helix", helices},
		{"square knot", squareKnotSinnets},
		{"half knot", halfKnotSinnets},
		{"double half hitch", doubleHalfHitches},
		{"lark's head", larksHeadMounts},
		{"vertical lark's head", verticalLarksHeads},
		{"half hitch", halfHitchSpirals},
		{"overhand knot", overhands},
		{"three-strand plait", plaits},
		{"barrel knot", barrels},
		{"four-strand plait", fourStrandPlaits},
		{"alternating half-hitch chain", alternatingChains},
		{"crown sinnet", crownSinnets},
		{"gathering wrap", wraps},
	}
}

// Names lists the knots that Derive knows.
func Names() []string {
	var names []string
	for _, k := range specimens() {
		names = append(names, k.name)
	}
	return names
}

func specimensOf(name string) ([]specimen, error) {
	for _, k := range specimens() {
		if plain(k.name) == plain(name) {
			list := k.specimens()
			for i := range list {
				list[i].row.Knot = k.name
			}
			return list, nil
		}
	}
	return nil, fmt.Errorf("no knot here is called “%s”; there are: %s", name, strings.Join(Names(), ", "))
}

// plain takes case, apostrophes and hyphens out of a name.
func plain(name string) string {
	name = strings.NewReplacer("'", "", "’", "", "-", " ").Replace(strings.ToLower(name))
	return strings.Join(strings.Fields(name), " ")
}

func atPitch(pitch Diameters, ropes ...*rope) []*rope {
	for _, r := range ropes {
		r.repeat.wanted = float64(pitch)
	}
	return ropes
}

func freePitch(ropes ...*rope) []*rope {
	for _, r := range ropes {
		r.repeat.freePitch = true
	}
	return ropes
}

const published = "published: "

func hopfLinks() []specimen {
	return []specimen{{
		row:    Row{Quantity: "each ring", Expected: 6.283185, Source: published + "2 pi; Cantarella, Kusner, Sullivan, Invent. Math. 150 (2002)"},
		starts: []*rope{hopfLink()}, share: 2, across: no,
	}}
}

func trefoils() []specimen {
	return []specimen{{
		row:    Row{Quantity: "whole knot", Expected: 16.3715, Source: published + "Ashton, Cantarella, Piatek, Rawdon, Exp. Math. 20 (2011)"},
		starts: []*rope{trefoil()}, share: 1, across: no,
	}}
}

func figureEights() []specimen {
	return []specimen{{
		row:    Row{Quantity: "whole knot", Expected: 21.0433, Source: published + "42.0866 radii, Gilbert's database of ideal knots"},
		starts: []*rope{figureEight()}, share: 1, across: no,
	}}
}

func helices() []specimen {
	var list []specimen
	for _, c := range []struct{ rod, pitch Diameters }{{1, 2}, {1, 5}, {4, 3}} {
		list = append(list, specimen{
			row: Row{
				Quantity: "cord for each turn", Rod: c.rod, Pitch: c.pitch,
				Expected: helixForm(turnRound(c.rod), c.pitch), Source: "exact",
			},
			starts: atPitch(c.pitch, wrap(rod(float64(c.rod)))), share: 1, across: sinnet,
		})
	}
	return list
}

func squareKnotSinnets() []specimen {
	row := func(fillers int, pitch Diameters) Row {
		return Row{
			Quantity: "each worker", Cores: fillers, Pitch: pitch,
			Expected: squareKnotForm(turn(fillers), pitch), Source: "C + P + 1.5 pi + 1.5 (4 - P where P < 4)",
		}
	}
	var list []specimen
	for _, fillers := range []int{1, 2, 3, 4, 6, 8} {
		list = append(list, specimen{row: row(fillers, 4), starts: atPitch(4, each(fillers, 90, squareKnots)...), share: 2, across: sinnet})
	}
	for _, pitch := range []Diameters{2.8, 3.4, 5, 6} {
		list = append(list, specimen{row: row(2, pitch), starts: atPitch(pitch, each(2, 90, squareKnots)...), share: 2, across: sinnet})
	}
	relaxed := row(2, 4)
	relaxed.PitchFound = true
	return append(list, specimen{row: relaxed, starts: freePitch(each(2, 90, squareKnots)...), share: 2, across: sinnet})
}

func halfKnotSinnets() []specimen {
	row := func(fillers int, tension float64) Row {
		return Row{
			Quantity: "each worker", Cores: fillers, Tension: tension, PitchFound: true,
			Expected: halfKnotForm(turn(fillers)), Source: "C/2 + 4.25",
		}
	}
	list := []specimen{{row: row(1, 0), starts: []*rope{halfKnots(1, 0)}, share: 2, across: sinnet}}
	for _, c := range []struct {
		fillers int
		tension float64
	}{{2, 1}, {2, 2}, {2, 5}, {2, 10}, {4, 2}} {
		list = append(list, specimen{
			row: row(c.fillers, c.tension), starts: []*rope{halfKnots(c.fillers, c.tension)}, share: 2, across: sinnet,
		})
	}
	for _, pitch := range []Diameters{2.1, 2.3} { // as loose as hands leave them
		loose := halfKnots(2, 2)
		loose.repeat.freePitch = false
		set := row(2, 2)
		set.Pitch, set.PitchFound = pitch, false
		list = append(list, specimen{row: set, starts: atPitch(pitch, loose), share: 2, across: sinnet})
	}
	return list
}

func doubleHalfHitches() []specimen {
	const quantity, source = "hitching end beyond its straight pass", "1.92 C + 3.7 + 1.6 (2.93 - P where P < 2.93)"
	var list []specimen
	for _, d := range []Diameters{1, 2, 4, 6} {
		list = append(list, specimen{
			row: Row{
				Quantity: quantity, Rod: d,
				Expected: doubleHalfHitchForm(turnRound(d), 3), Source: source,
			},
			starts: []*rope{doubleHalfHitch(rod(float64(d)))}, share: 1, across: onRod,
		})
	}
	for k := 2; k <= 8; k++ {
		list = append(list, specimen{
			row: Row{
				Quantity: quantity, Cores: k,
				Expected: doubleHalfHitchForm(smoothTurn(k), 3), Source: source,
			},
			starts: each(k, 30, doubleHalfHitch), share: 1, across: onRod,
		})
	}
	for _, pitch := range []Diameters{2.93, 2.4, 2.1} {
		list = append(list, specimen{
			row: Row{
				Quantity: quantity, Rod: 1, Pitch: pitch,
				Expected: doubleHalfHitchForm(turnRound(1), pitch), Source: source,
			},
			starts: atPitch(pitch, rowOfHitches(0)), share: 1, across: onRod,
		})
	}
	for _, tension := range []float64{1, 3, 10} {
		list = append(list, specimen{
			row: Row{
				Quantity: quantity, Cores: 1, Tension: tension, Pitch: 2.93,
				Expected: doubleHalfHitchForm(turn(1), 2.93) - softCarrier, Source: "1.92 C + 3.2",
			},
			starts: atPitch(2.93, rowOfHitches(tension)), share: 1, across: onRod,
		})
	}
	return list
}

func larksHeadMounts() []specimen {
	const quantity, source = "each end from the rod's axis", "(5 pi/6)(D + 1) + 2.16"
	var list []specimen
	for _, d := range []Diameters{1, 2, 4, 6, 10} {
		list = append(list, specimen{
			row:    Row{Quantity: quantity, Rod: d, Expected: larksHeadForm(d), Source: source},
			starts: []*rope{larksHead(float64(d))}, share: 2, across: onRod,
		})
	}
	for _, pitch := range []Diameters{4, 3} {
		list = append(list, specimen{
			row:    Row{Quantity: quantity, Rod: 4, Pitch: pitch, Expected: larksHeadForm(4), Source: source},
			starts: atPitch(pitch, larksHeads(4)), share: 2, across: onRod,
		})
	}
	return list
}

func verticalLarksHeads() []specimen {
	row := func(cores int) Row {
		return Row{
			Quantity: "hitching cord for each pair of hitches", Cores: cores, PitchFound: true,
			Expected: verticalLarksHeadForm(turn(cores)), Source: "2 C + 4 + 1.5 pi",
		}
	}
	var list []specimen
	for k := 1; k <= 4; k++ {
		list = append(list, specimen{
			row: row(k), starts: freePitch(each(k, 60, verticalLarksHead)...), share: 1, across: sinnet,
		})
	}
	return list
}

func halfHitchSpirals() []specimen {
	var list []specimen
	for _, d := range []Diameters{1, 2, 3} {
		list = append(list, specimen{
			row: Row{
				Quantity: "hitching cord for each hitch", Rod: d, PitchFound: true,
				Expected: halfHitchForm(turnRound(d)), Source: "C + 4.22",
			},
			starts: []*rope{halfHitches(float64(d))}, share: 1, across: sinnet,
		})
	}
	return list
}

func overhands() []specimen {
	list := []specimen{{
		row: Row{
			Quantity: "each end", Ends: 1, Expected: 10.1,
			Source: published + "about 10.1, Pieranski, Przybyl, Stasiak, Eur. Phys. J. E 6 (2001), from memory",
		},
		starts: []*rope{overhand(1, 0, 0)}, share: 1, across: inLine,
	}}
	for n := 2; n <= 4; n++ {
		var starts []*rope
		lay := 315.0 // of those tried, -360 to 360, what comes out shortest
		if n == 2 {
			lay = 0
		}
		for degrees := 0.0; degrees < 180; degrees += 30 {
			starts = append(starts, overhand(n, degrees, lay))
		}
		list = append(list, specimen{
			row:    Row{Quantity: "each end, mean", Ends: n, Expected: overhandForm(n), Source: "10.1 n^0.46"},
			starts: starts, share: float64(n), across: inLine,
		})
	}
	return list
}

func plaits() []specimen {
	var list []specimen
	for _, pitch := range []Diameters{6, 7, 8, 9, 10, 12} {
		list = append(list, specimen{
			row:    Row{Quantity: "each strand", Ends: 3, Pitch: pitch, Expected: plaitForm(pitch), Source: "sqrt(P^2 + 6.65^2)"},
			starts: atPitch(pitch, plait("three-strand plait")), share: 3, across: sinnet,
		})
	}
	return list
}

func wraps() []specimen {
	var list []specimen
	for _, k := range []int{1, 2, 3, 4, 6, 7, 8} {
		list = append(list, specimen{
			row: Row{
				Quantity: "cord for each turn", Cores: k, PitchFound: true,
				Expected: helixForm(turn(k), 1), Source: "sqrt(C^2 + 1)",
			},
			starts: freePitch(each(k, 180, wrap)...), share: 1, across: sinnet,
		})
	}
	return list
}

func fourStrandPlaits() []specimen {
	var list []specimen
	for _, pitch := range []Diameters{10, 12, 14, 18} {
		list = append(list, specimen{
			row:    Row{Quantity: "each strand", Ends: 4, Pitch: pitch, Expected: fourPlaitForm(pitch), Source: "sqrt(P^2 + 9.75^2)"},
			starts: atPitch(pitch, plait("four-strand plait")), share: 4, across: sinnet,
		})
	}
	return list
}

func alternatingChains() []specimen {
	return []specimen{{
		row:    Row{Quantity: "each end", Ends: 2, PitchFound: true, Expected: 12.15, Source: "the free pitch and what goes with it, found here"},
		starts: freePitch(alternatingHalfHitches()), share: 2, across: sinnet,
	}}
}

func crownSinnets() []specimen {
	free := crowns()
	free.repeat.freeTwist = true
	return []specimen{{
		row:    Row{Quantity: "each strand", Ends: 4, PitchFound: true, Expected: 6.02, Source: "the free pitch and what goes with it, found here"},
		starts: freePitch(free), share: 4, across: sinnet,
	}}
}

func barrels() []specimen {
	return []specimen{{
		row:    Row{Quantity: "each end", Ends: 1, Expected: 17.28, Source: "what it comes out at, found here"},
		starts: []*rope{endsIn("barrel knot", 1, 0, 0)}, share: 1, across: inLine,
	}}
}
