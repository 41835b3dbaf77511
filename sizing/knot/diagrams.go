package knot

import "larkfold/sizing/diagram"

// The types that several rows share.
const (
	leftTrefoil  = "left-handed trefoil (3_1)"
	rightTrefoil = "right-handed trefoil (3_1)"
	squareSum    = "left-handed trefoil # right-handed trefoil"
	fourSquares  = "4 left-handed trefoils # 4 right-handed trefoils"
	unlink       = "two rings apart (0^2_1)"
)

func squareDiagram() *Diagram {
	return &Diagram{
		Draw: squareKnot, Body: round(2),
		Stages: []Stage{
			{Reach: []float64{8, All, All, 1}},
			{Reach: []float64{9, All, All, 12}},
			{Reach: []float64{17, All, All, 13}},
			{},
			{Drawn: 2},
		},
		Closure: diagram.Paired,
		Type:    squareSum, Mirror: squareSum,
	}
}

// mirrored is the diagram of the other hand.
func mirrored(d *Diagram) *Diagram {
	m := *d
	m.Draw = func(b Body) diagram.Drawing { return d.drawing(b, true) }
	m.Hands[0], m.Hands[1] = d.Hands[1], d.Hands[0]
	m.Type, m.Mirror = d.Mirror, d.Type
	m.Look.Mirrored = !d.Look.Mirrored
	return &m
}

func halfKnotDiagram() *Diagram {
	return &Diagram{
		Draw: halfKnot, Body: round(2), Hands: [2]string{"left half knot", "right half knot"}, Look: Look{Once: true},
		Stages: []Stage{
			{Reach: []float64{8, All, All, 1}},
			{},
			{Drawn: 6},
		},
		Closure: diagram.Paired,
		Type:    leftTrefoil, Mirror: rightTrefoil,
	}
}

func berryDiagram() *Diagram {
	return &Diagram{
		Draw: berryKnot, Body: round(2), Look: Look{Lies: Rolled},
		Stages: []Stage{
			{Reach: []float64{56, 3, 3, 74}},
			{Reach: []float64{56, 10, 10, 74}},
			{Reach: []float64{56, 15, 15, 74}},
			{},
		},
		Closure: diagram.Paired,
		Type:    fourSquares, Mirror: fourSquares,
	}
}

func picotDiagram() *Diagram {
	low, pushed := round(2), round(2)
	low.Slack, pushed.Slack = 6, 1
	d := squareDiagram()
	d.Draw, d.Body = picotKnot, low
	d.Stages = []Stage{{}, {Body: &pushed}}
	d.Look.Open = true
	return d
}

func doubleHalfHitchDiagram() *Diagram {
	return &Diagram{
		Draw: doubleHalfHitch, Body: Body{Half: 0.5, Deep: 0.5}, Hands: [2]string{"bar to the right", "bar to the left"},
		Stages: []Stage{
			{Reach: []float64{All, 1.6}},
			{Reach: []float64{All, 10.2}},
			{},
			{Drawn: 4},
		},
		Closure: diagram.Hitched,
		Type:    "link 6^2_3, turned -2", Mirror: "link 6^2_3, turned +2",
	}
}

func verticalDoubleHalfHitchDiagram() *Diagram {
	d := doubleHalfHitchDiagram()
	d.Draw, d.Hands = verticalDoubleHalfHitch, [2]string{"from the left", "from the right"}
	d.Look.Lies = Apart
	d.Stages = []Stage{{Reach: []float64{2.4, All}}, {Reach: []float64{10.2, All}}, {}, {Drawn: 1}}
	d.Type, d.Mirror = d.Mirror, d.Type // a quarter of a turn and its reflection
	return d
}

func singleMountDiagram() *Diagram {
	d := doubleHalfHitchDiagram()
	d.Draw, d.Body, d.Hands = singleMount, Body{Half: 1.2, Deep: 1.2}, [2]string{"to the right", "to the left"}
	d.Stages = []Stage{{Reach: []float64{All, 2.6}}, {Reach: []float64{All, 10.2}}, {}, {Drawn: 1}}
	return d
}

func halfHitchDiagram() *Diagram {
	return &Diagram{
		Draw: halfHitches, Body: round(1), Hands: [2]string{"from the left", "from the right"},
		Stages: []Stage{
			{Reach: []float64{4.6, All}},
			{},
			{Drawn: 5},
		},
		Closure: diagram.Braided,
		Type:    "left-handed Hopf link (2^2_1), turned -1", Mirror: "right-handed Hopf link (2^2_1), turned +1",
	}
}

func verticalLarksHeadDiagram() *Diagram {
	return &Diagram{
		Draw: verticalLarksHead, Body: round(1), Hands: [2]string{"from the left", "from the right"},
		Stages: []Stage{
			{Reach: []float64{12, All}},
			{},
			{Drawn: 2},
		},
		Closure: diagram.Braided,
		Type:    unlink, Mirror: unlink,
	}
}

func alternatingHalfHitchDiagram() *Diagram {
	return &Diagram{
		Draw: alternatingHalfHitches, Body: Body{Half: 0.5, Deep: 0.5}, Hands: [2]string{"left end first", "right end first"},
		Stages: []Stage{
			{Reach: []float64{12, 2}},
			{},
			{Drawn: 3},
		},
		Closure: diagram.Paired,
		Type:    squareSum, Mirror: squareSum,
	}
}

func larksHeadDiagram() *Diagram {
	return &Diagram{
		Draw: larksHead, Body: Body{Half: 1.2, Deep: 1.2},
		Stages: []Stage{
			{Reach: []float64{All, 1.2}},
			{Reach: []float64{All, 7.6}},
			{},
		},
		Closure: diagram.Hung,
		Type:    unlink, Mirror: unlink,
	}
}

func reversedLarksHeadDiagram() *Diagram {
	d := larksHeadDiagram()
	d.Draw = reversedLarksHead
	return d
}

func fringeLarksHeadDiagram() *Diagram {
	d := larksHeadDiagram()
	d.Body = Body{Half: 0.6, Deep: 0.6}
	d.Stages = []Stage{{Reach: []float64{All, 7.6}}, {}, {}}
	d.Look.OnCord = true
	return d
}

func overhandDiagram() *Diagram {
	return &Diagram{
		Draw: overhand,
		Stages: []Stage{
			{Reach: []float64{1.4}},
			{Reach: []float64{15}},
			{},
		},
		Closure: diagram.Braided,
		Type:    rightTrefoil, Mirror: leftTrefoil,
	}
}

func barrelDiagram() *Diagram {
	return &Diagram{
		Draw: barrel,
		Stages: []Stage{
			{Reach: []float64{19}},
			{Reach: []float64{29}},
			{},
		},
		Closure: diagram.Braided,
		Type:    "right-handed 5_1", Mirror: "left-handed 5_1",
	}
}

func threeStrandDiagram() *Diagram {
	return &Diagram{
		Draw: threeStrandPlait,
		Stages: []Stage{
			{Reach: downTo(threeStrandPlait, 0.1)},
			{Reach: downTo(threeStrandPlait, 4.5)},
			{},
		},
		Closure: diagram.Braided,
		Type:    "Borromean rings (6^3_2)", Mirror: "Borromean rings (6^3_2)",
	}
}

func fourStrandDiagram() *Diagram {
	const once, four = "closed braid (s1 s3 s2^-1)^4", "closed braid (s1^-1 s3^-1 s2)^4"
	return &Diagram{
		Draw: fourStrandPlait,
		Stages: []Stage{
			{Reach: downTo(fourStrandPlait, 0.1)},
			{Reach: downTo(fourStrandPlait, 2.3)},
			{Reach: downTo(fourStrandPlait, 4.5)},
			{},
		},
		Closure: diagram.Braided,
		Type:    four, Mirror: once,
	}
}

func crownDiagram() *Diagram {
	return &Diagram{
		Draw: crown,
		Stages: []Stage{
			{Reach: []float64{2, 2, 2, 2}},
			{Reach: []float64{All, All, All, 2}},
			{},
			{Drawn: 4},
		},
		Closure: diagram.Crowned,
		Type:    "link 7^2_6", Mirror: "mirror image of the link 7^2_6",
	}
}

func josephineDiagram() *Diagram {
	return &Diagram{
		Draw: josephine, Look: Look{Lies: Woven, Open: true},
		Stages: []Stage{
			{Reach: []float64{All, 1}},
			{},
			{},
		},
		Closure: diagram.Paired,
		Type:    "8_18", Mirror: "8_18",
	}
}

func wrapDiagram() *Diagram {
	return &Diagram{
		Draw: wound, Body: round(3),
		Stages: []Stage{
			{Reach: []float64{9, All, All, All}},
			{Reach: []float64{26, All, All, All}},
			{},
			{Drawn: 8},
		},
		Closure: diagram.Wound,
		Type:    "9_2", Mirror: "mirror image of 9_2",
	}
}

// netDiagram shows rows of square knots, which prove themselves.
func netDiagram() *Diagram {
	return &Diagram{Stages: []Stage{{Drawn: 1}, {Drawn: 2}, {Drawn: 3}}}
}

// downTo is how many points of every strand lie above a depth; strands run downwards.
func downTo(draw func(Body) diagram.Drawing, depth float64) []float64 {
	var reach []float64
	for _, s := range draw(Body{}) {
		n := 0
		for n+1 < len(s.Points) && s.Points[n+1].Y <= depth {
			n++
		}
		reach = append(reach, float64(n))
	}
	return reach
}
