package picture

import "larkfold/sizing/knot"

// stagesOf are the stages of tying a knot and how many ends they show. They are
// read from the left: a pass that comes later lies over those before it.
func stagesOf(k *knot.Knot) ([]stage, int) {
	switch k.Name {
	case "square knot":
		return []stage{firstHalf(), otherHalf(), {caption: "drawn up", tight: &tightened{4, 2}}}, 4
	case "half knot":
		return []stage{firstHalf(), sameHalf(), {caption: "six make a spiral", tight: &tightened{4, 6}}}, 4
	case "picot knot":
		return []stage{lowSquare(), {caption: "pushed up", tight: &tightened{4, 2}}}, 4
	case "berry knot":
		return []stage{ballStart(), {caption: "rolled up and locked", tight: &tightened{4, 1}}}, 4
	case "double half hitch":
		return []stage{hitchOne(), hitchTwo(), {caption: "a row of them", tight: &tightened{2, 4}}}, 2
	case "half hitch":
		return []stage{halfHitchLoop(), {caption: "five, drawn up", tight: &tightened{2, 5}}}, 2
	case "vertical lark's head":
		return []stage{halfHitchLoop(), mirrorHitch(), {caption: "two pairs, drawn up", tight: &tightened{2, 2}}}, 2
	case "lark's head", "fringe lark's head":
		return []stage{foldDown(true), throughFold(true)}, 2
	case "reversed lark's head":
		return []stage{foldDown(false), throughFold(false)}, 2
	case "single mount":
		return []stage{singleMount(), mountAgain()}, 1
	case "overhand knot":
		return []stage{overhandLoop(), {caption: "drawn up", tight: &tightened{2, 1}}}, 2
	case "three-strand plait":
		return []stage{plaitStart(), {caption: "and so on", tight: &tightened{3, 2}}}, 3
	case "gathering wrap":
		return []stage{wrapLoop(), {caption: "wound and drawn in", tight: &tightened{4, 8}}}, 1
	}
	if k.Name == "alternating net" {
		return []stage{{caption: "every row shifted by half a knot", tight: &tightened{4, 1}}}, 0
	}
	if k.Shape == knot.Group {
		n := max(1, min(k.Ends, 8))
		if k.Fits(n) != nil {
			n = min(k.Fewest, 12)
		}
		return []stage{{caption: "scheme", tight: &tightened{n, 1}}}, n
	}
	return nil, 0
}

// The loop that begins square and half knots: end 1 over the fillers and under
// end 4, end 4 behind the fillers and up through the loop at the left.
func firstHalf() stage {
	return stage{
		caption: "1 over 2 and 3, under 4; 4 behind and up",
		passes:  halfLoop(1, 4, 1, 0),
		tops:    map[int]Point{1: {-3, -0.6}, 2: {-0.7, -0.6}, 3: {0.7, -0.6}, 4: {3, -0.6}},
	}
}

// halfLoop is the open loop: front crosses over the fillers from its own side,
// back goes behind. Way is 1 from the left, -1 from the right.
func halfLoop(front, back int, way, top Points) []pass {
	x := func(xy ...Points) []Points {
		for i := 0; i < len(xy); i += 2 {
			xy[i] *= way
			if xy[i+1] != 0 || top == 0 {
				xy[i+1] += top
			} else {
				xy[i+1] = top
			}
		}
		return xy
	}
	return []pass{
		{back, x(3, 3.6, 2.6, 5.2, 1, 5.7, -0.8, 5.6, -1.7, 4.6, -1.9, 3.4)},
		{2, []Points{-0.7, 0, -0.7, 9.4}},
		{3, []Points{0.7, 0, 0.7, 9.4}},
		{front, x(-3, 0, -3, 1.8, -2.2, 3.5, -0.6, 4, 1, 4.1, 3.1, 4.6, 4.1, 6, 4.2, 8.4)},
		{back, x(3, 0, 3.05, 2, 3, 3.6, 2.85, 4.6)},
		{back, x(-1.88, 3.6, -2.1, 2.7, -3, 2.3, -3.9, 3.2, -4.2, 5.4, -4.2, 8.4)},
	}
}

// otherHalf is the second half of a square knot, the mirror image of the first.
func otherHalf() stage {
	return stage{
		caption: "mirrored: 1 over from the right",
		passes:  append(closed(), halfLoop(1, 4, -1, 1.4)...),
		tops:    map[int]Point{1: {-2.2, -0.6}, 2: {-0.7, -0.6}, 3: {0.7, -0.6}, 4: {2.2, -0.6}},
	}
}

// sameHalf is a half knot below another: the same again, so that it turns.
func sameHalf() stage {
	return stage{
		caption: "the same again from the left",
		passes:  append(closed(), halfLoop(4, 1, 1, 1.4)...),
		tops:    map[int]Point{1: {-2.2, -0.6}, 2: {-0.7, -0.6}, 3: {0.7, -0.6}, 4: {2.2, -0.6}},
	}
}

// closed is a half knot drawn up at the top.
func closed() []pass {
	return []pass{
		{4, []Points{2.2, 0, 1.6, 0.5, 0, 0.7, -1.8, 0.75, -2.8, 0.95, -3, 1.55}},
		{2, []Points{-0.7, 0, -0.7, 3}},
		{3, []Points{0.7, 0, 0.7, 3}},
		{1, []Points{-2.2, 0, -1.7, 0.4, 0, 0.6, 1.8, 0.7, 2.8, 0.95, 3, 1.55}},
	}
}

func lowSquare() stage {
	return stage{
		caption: "a square knot lower down, outer ends slack",
		passes: []pass{
			{2, []Points{-0.7, 0, -0.7, 9.4}},
			{3, []Points{0.7, 0, 0.7, 9.4}},
			{4, []Points{1.6, 0, 3.4, 2, 3.4, 4, 1.9, 5.4, 1.9, 6.8, 1.9, 9.4}},
			{1, []Points{-1.6, 0, -3.4, 2, -3.4, 4, -1.6, 5.6, 0, 5.7, 1.6, 5.9, 2, 6.3, 1.6, 6.8, 0, 6.9, -1.5, 7, -1.9, 8, -1.9, 9.4}},
			{4, []Points{1.5, 5.3, 2.2, 5.8, 2.2, 6.6, 1.5, 7.3}},
		},
		tops: map[int]Point{1: {-1.9, -0.6}, 2: {-0.7, -0.6}, 3: {0.7, -0.6}, 4: {1.9, -0.6}},
	}
}

func ballStart() stage {
	passes := []pass{}
	for i := range 3 {
		y := Points(i)*1.9 + 1.6
		passes = append(passes,
			pass{4, []Points{1.5, y - 0.9, 2.1, y - 0.2, 2.1, y + 0.6, 1.5, y + 1}},
		)
	}
	passes = append(passes, pass{2, []Points{-0.5, 0, -0.5, 7.4}}, pass{3, []Points{0.5, 0, 0.5, 7.4}})
	for i := range 3 {
		y := Points(i)*1.9 + 1.6
		passes = append(passes,
			pass{1, []Points{-1.5, y - 0.9, -1.6, y - 0.3, 0, y - 0.1, 1.6, y, 1.9, y + 0.35, 1.6, y + 0.7, 0, y + 0.75, -1.5, y + 1}},
		)
	}
	passes = append(passes,
		pass{2, []Points{-0.5, 7.4, -0.8, 8.9, -2.6, 9, -3.4, 6, -2.8, 2.4, -1.2, 0.7}},
		pass{3, []Points{0.5, 7.4, 0.8, 8.9, 2.6, 9, 3.4, 6, 2.8, 2.4, 1.2, 0.7}},
	)
	return stage{caption: "2 and 3 up in front, through to the back", passes: passes, tops: map[int]Point{1: {-2, -0.6}, 2: {-0.6, -0.6}, 3: {0.6, -0.6}, 4: {2, -0.6}}}
}

func hitchOne() stage {
	return stage{
		caption: "2 up in front, behind, out at its side",
		passes: []pass{
			{2, []Points{0.6, 0, 0.6, 2, 0.5, 5}},
			{2, []Points{-1.5, 2.5, -1.1, 1.9, -0.6, 2.6, -0.5, 5}},
			{1, []Points{-4.4, 3, 0, 3.8, 4.4, 4.6}},
			{2, []Points{0.5, 4.8, 0.3, 6.4, -0.8, 6.7, -1.6, 5.4, -1.6, 3, -1.3, 2.1}},
			{2, []Points{-0.5, 4.8, -0.5, 7, -0.4, 9.4}},
		},
		tops: map[int]Point{1: {-4.6, 2.2}, 2: {0.6, -0.6}},
	}
}

func hitchTwo() stage {
	return stage{
		caption: "once more beside it",
		passes: []pass{
			{2, []Points{-1, 0, -1, 2.4, -0.9, 4.6}},
			{2, []Points{1.9, 2.6, 1.5, 2, 0.9, 2.8, 0.8, 5.2}},
			{1, []Points{-4.4, 3, 0, 3.8, 4.4, 4.6}},
			{2, []Points{-1.2, 2.7, -1.1, 3.6, -0.8, 4.7}},
			{2, []Points{-0.7, 4.6, -0.3, 6.6, 1.2, 6.9, 2, 5.6, 2, 3.2, 1.7, 2.2}},
			{2, []Points{0.8, 5, 0.8, 7.2, 0.7, 9.4}},
		},
		tops: map[int]Point{1: {-4.6, 2.2}, 2: {-1, -0.6}},
	}
}

func halfHitchLoop() stage {
	return stage{
		caption: "1 over, round behind, out over itself",
		passes: []pass{
			{1, []Points{1.6, 3.8, 1.4, 4.9, 0, 5.2, -1.2, 4.6, -1.5, 3.6}},
			{2, []Points{0.6, 0, 0.6, 9.4}},
			{1, []Points{-1.6, 0, -1.7, 1.6, -1, 2.8, 0.5, 3, 1.6, 3.2, 1.6, 4}},
			{1, []Points{-1.45, 3.9, -1.7, 2.9, -2.6, 2.2, -3.3, 3.4, -3.4, 8}},
		},
		tops: map[int]Point{1: {-1.6, -0.6}, 2: {0.6, -0.6}},
	}
}

func mirrorHitch() stage {
	return stage{
		caption: "then behind, over, and under itself",
		passes: []pass{
			{1, []Points{-1.5, 2, -1.6, 3.4, -0.8, 4.3, 0.4, 4.4, 1.5, 4.9, 1.6, 5.6}},
			{1, []Points{-2, 5.4, -2.4, 4.2, -3, 3.6, -3.6, 4.6, -3.6, 9}},
			{2, []Points{0.6, 0, 0.6, 9.4}},
			{1, []Points{-1.2, 0.9, 0, 0.9, 1.6, 1.1}},
			{1, []Points{-1.4, 0, -1.7, 0.6, -1.6, 2.2}},
			{1, []Points{1.6, 5.4, 1.5, 6.4, 0.3, 6.8, -1.2, 6.5, -1.9, 5.5, -2.05, 5.2}},
		},
		tops: map[int]Point{1: {-1.4, -0.6}, 2: {0.6, -0.6}},
	}
}

func foldDown(front bool) stage {
	fold := pass{1, []Points{-0.8, 1.4, -1.5, 4.5, -1.2, 6.2, 0, 6.9, 1.2, 6.2, 1.5, 4.5, 0.8, 1.4}}
	left := pass{1, []Points{-0.75, 1.6, -1.4, 1.2, -2.3, 2, -2.6, 4.6, -2.7, 9.4}}
	right := pass{2, []Points{0.75, 1.6, 1.4, 1.2, 2.3, 2, 2.6, 4.6, 2.7, 9.4}}
	rod := pass{0, []Points{-4.6, 3, 4.6, 3}}
	s := stage{caption: "the fold over the front and down behind", feet: map[int]Point{1: {-2.7, 9.6}, 2: {2.7, 9.6}}}
	if front {
		s.passes = []pass{fold, rod, left, right}
	} else {
		s.caption = "the fold behind and down over the front"
		s.passes = []pass{left, right, rod, fold}
	}
	return s
}

func throughFold(front bool) stage {
	rod := pass{0, []Points{-4.6, 3, 4.6, 3}}
	sides := []pass{
		{1, []Points{-0.75, 1.6, -1.3, 1.3, -1.9, 2, -2, 4, -1.9, 5}},
		{2, []Points{0.75, 1.6, 1.3, 1.3, 1.9, 2, 2, 4, 1.9, 5}},
	}
	apart := Points(0.7)
	if !front {
		apart = 1.05 // so that the fold can be seen between them
	}
	ends := []pass{{1, []Points{-apart, 1.5, -apart, 4, -apart, 9.4}}, {2, []Points{apart, 1.5, apart, 4, apart, 9.4}}}
	fold := []pass{{1, []Points{-1.95, 4.6, -1.4, 5.8, 0, 6}}, {2, []Points{1.95, 4.6, 1.4, 5.8, 0, 6}}}
	s := stage{caption: "both ends through the fold, draw up", feet: map[int]Point{1: {-apart - 0.1, 9.7}, 2: {apart + 0.1, 9.7}}}
	if front {
		s.passes = append(append(append(sides, rod), ends...), fold...)
	} else {
		s.passes = append(append(append(fold, ends...), rod), sides...)
	}
	return s
}

func singleMount() stage {
	return stage{
		caption: "round the rod and over itself",
		passes: []pass{
			{1, []Points{-1, 1.5, -1.2, 4.4}},
			{1, []Points{1.3, 1.7, 0.9, 4.6}},
			{0, []Points{-4.6, 3, 4.6, 3}},
			{1, []Points{0, 9.4, 0, 5, -0.3, 2, -0.9, 1.4}},
			{1, []Points{-1.2, 4.2, -0.6, 5.4, 0.9, 5.2, 1.6, 4, 1.4, 1.6}},
		},
		feet: map[int]Point{1: {0, 9.7}},
	}
}

func mountAgain() stage {
	return stage{
		caption: "once more beside it, draw up",
		passes: []pass{
			{1, []Points{-0.7, 4.4, -0.9, 1.7}},
			{1, []Points{0.5, 4.4, 0.4, 1.7}},
			{0, []Points{-4.6, 3, 4.6, 3}},
			{1, []Points{-0.2, 9.4, -0.2, 4.4, -0.9, 4.4}},
			{1, []Points{-0.95, 1.9, -0.6, 1.2, -0.2, 2, 0, 4, 0.3, 4.7}},
			{1, []Points{0.4, 1.9, 0.8, 1.2, 1.2, 2, 1.3, 4, 1.6, 5.6}},
		},
		feet: map[int]Point{1: {-0.2, 9.7}},
	}
}

func overhandLoop() stage {
	loop := func(end int, by Points) []pass {
		return []pass{
			{end, []Points{by - 0.2, 0, by - 0.3, 2.6, by + 0.2, 4.4, 1.9 + by, 5.8, 1.6 + by, 7.2, by, 7.4, -1.6 + by, 6.4, -1.7 + by, 4.6}},
			{end, []Points{-1.7 + by, 4.8, -1.4 + by, 3.4, by, 3.1, 1.2 + by, 3.8, 0.9 + by, 5, 0.3 + by, 5.9}},
		}
	}
	passes := loop(1, -0.35)
	passes = append(passes, loop(2, 0.35)...)
	passes = append(passes, pass{1, []Points{-0.05, 5.9, -0.2, 7.6, -0.4, 9.4}}, pass{2, []Points{0.65, 5.9, 0.5, 7.6, 0.3, 9.4}})
	return stage{caption: "one loop of all ends, through it", passes: passes, tops: map[int]Point{1: {-0.9, -0.6}, 2: {0.5, -0.6}}}
}

func plaitStart() stage {
	return stage{
		caption: "left over the middle, right over the middle",
		passes: []pass{
			{2, []Points{0, 0, 0, 1.6, -1.6, 3.4, -2, 5, -1.6, 6.6}},
			{1, []Points{-2, 0, -2, 1.4, 0, 3, 1.7, 4.8, 2, 6.8, 2, 9}},
			{3, []Points{2, 0, 2, 2.6, 1.6, 4, 0, 5.4, -1.4, 6.6, -2, 9}},
			{2, []Points{-1.75, 6.2, -1.2, 7.2, 0, 8, 0.4, 9}},
		},
		tops: map[int]Point{1: {-2, -0.6}, 2: {0, -0.6}, 3: {2, -0.6}},
	}
}

func wrapLoop() stage {
	var passes []pass
	for i := range 4 {
		x := (Points(i) - 1.5) * 0.9
		passes = append(passes, pass{2, []Points{x, 0, x, 9.4}})
	}
	passes = append(passes, pass{1, []Points{-0.9, -0.2, -0.8, 4, -0.7, 7, 0, 8.4, 0.7, 7, 0.8, 3.4, 0.9, 1.6, 1.6, 1.2, 2.4, 1.6}})
	for i := range 3 {
		y := 2.2 + Points(i)*0.75
		passes = append(passes, pass{1, []Points{-2.2, y + 0.2, 0, y, 2.2, y - 0.2}})
	}
	passes = append(passes, pass{1, []Points{-2.2, 3.9, -2.9, 4.6, -3.4, 7}})
	return stage{caption: "a long loop, then turn by turn", passes: passes, tops: map[int]Point{1: {-1.7, -0.5}}}
}
