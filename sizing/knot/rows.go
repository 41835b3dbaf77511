package knot

// The sources that several rows share.
const (
	derived = "derived by tightening ideal rope (`larkfold derive` does it again)"
	common  = "common practice, no source"
)

// rows are the book's own knots. Formulas are in d (working diameter of the
// cord), c (working diameter of the cords inside), k (how many cords the knot
// closes round), D (diameter of a rod), pitch and n (how many ends).
func rows() []Row {
	return []Row{
		{
			Name: "lark's head", Short: "LH", Also: []string{"cow hitch", "larks head mount"}, Shape: Mount,
			About: "Hangs a folded cord on the rod: the fold goes over, both ends come through it.",
			Ends:  2, Fewest: 2, Most: 2,
			Roles:  []Role{{Name: "end", Works: true, Takes: "5*pi/6*(D + d) + 2.16*d"}},
			Height: "D/2 + d", Width: "4*d", Closer: "3*d",
			HowTo: []string{
				"Fold the cord in the middle.",
				"Lay the fold over the front of the rod and bring it down behind.",
				"Pull both ends through the fold, towards you, and draw up.",
			},
			Source: derived + "; each end is counted from the axis of the rod", Trust: Medium,
			Note: "Friction can hold the fold higher than a frictionless rope would lie: up to half of D + d more an end.",
		},
		{
			Name: "reversed lark's head", Short: "RLH", Also: []string{"reverse lark's head"}, Shape: Mount,
			About: "A lark's head seen from behind: the bar of the fold is hidden.",
			Ends:  2, Fewest: 2, Most: 2,
			Roles:  []Role{{Name: "end", Works: true, Takes: "5*pi/6*(D + d) + 2.16*d"}},
			Height: "D/2 + d", Width: "4*d", Closer: "3*d",
			HowTo: []string{
				"Fold the cord in the middle.",
				"Lay the fold behind the rod and bring it down over the front.",
				"Pull both ends through the fold, away from you, and draw up.",
			},
			Source: derived + "; the mirror image of the lark's head", Trust: Medium,
		},
		{
			Name: "single mount", Short: "SM", Also: []string{"clove hitch mount"}, Shape: Mount,
			About: "Ties one end of a cord to the rod by a double half hitch; the short tail stays behind.",
			Ends:  1, Fewest: 1, Most: 1,
			Roles:  []Role{{Name: "end", Works: true, Takes: "1.92*loop(D) + 3.7*d + 6*cm"}},
			Height: "D/2 + d", Width: "3*d", Closer: "2.4*d",
			HowTo: []string{
				"Hold the cord behind the rod with about 6 cm standing above it.",
				"Take the long part over the front, round behind and out to the side: the first half hitch.",
				"Do the same once more beside it and draw both up.",
				"Weave the short tail in behind, or trim it when the work is done.",
			},
			Source: derived + " for the hitch; a short tail of 6 cm: " + common, Trust: Medium,
		},
		{
			Name: "square knot", Short: "SK", Also: []string{"square", "flat knot", "double knot"}, Shape: Group,
			About: "The two outer ends tie twice, left then right, over the ends between them.",
			Ends:  4, Fewest: 3, Most: 40,
			Roles: []Role{
				{Name: "worker", Works: true, Takes: "turn(k) + pitch + 1.5*pi*d + 1.5*max(0*d, 4*d - pitch)"},
				{Name: "filler", Takes: "pitch"},
			},
			Places: []string{"worker", "filler...", "worker"},
			Pitch:  "3.7*d", Relaxed: "4*d", Pushed: "3.4*d", Height: "pitch", Width: "3.35*d + 1.226*bundle(k)",
			HowTo: []string{
				"Take the left outer end across the front of the fillers; leave a loop at the left.",
				"Lay the right outer end over it, pass it behind the fillers and out through the loop at the left. Draw up: half the knot.",
				"Now the same from the right: right outer end across the front, left one over it, behind the fillers and out at the right.",
				"Draw up firmly against the first half.",
			},
			Source: derived + "; pitch: 4.0 d relaxed, about 3.4 d pushed up by hand, the book takes 3.7 d (" + common + ")", Trust: High,
			Note: "The pitch is your hand's: tie a few and keep a swatch.",
		},
		{
			Name: "half knot", Short: "HK", Also: []string{"half", "half square knot", "spiral knot"}, Shape: Group,
			About: "Half a square knot. Repeated the same way, the sinnet turns into a spiral.",
			Ends:  4, Fewest: 3, Most: 40,
			Roles: []Role{
				{Name: "worker", Works: true, Takes: "turn(k)/2 + 4.25*d"},
				{Name: "filler", Takes: "pitch"},
			},
			Places: []string{"worker", "filler...", "worker"}, Cross: true,
			Pitch: "1.8*d + 0.025*k*d", Height: "pitch", Width: "3.35*d + 1.226*bundle(k)",
			HowTo: []string{
				"Take the left outer end across the front of the fillers; leave a loop at the left.",
				"Lay the right outer end over it, pass it behind the fillers and out through the loop. Draw up.",
				"Repeat always from the same side and let the work turn: 9 to 12 half knots make a full turn.",
			},
			Source: derived, Trust: High,
		},
		{
			Name: "berry knot", Short: "BK", Also: []string{"berry", "rolled square knots"}, Shape: Group,
			About: "Three square knots rolled up into a ball and locked by one more.",
			Ends:  4, Fewest: 4, Most: 4,
			Roles: []Role{
				{Name: "worker", Works: true, Takes: "4*(turn(k) + pitch + 1.5*pi*d)"},
				{Name: "filler", Takes: "10*pitch"},
			},
			Places: []string{"worker", "filler", "filler", "worker"},
			Pitch:  "4*d", Height: "2.5*pitch", Width: "6*d",
			HowTo: []string{
				"Tie three square knots one below the other.",
				"Bring the two fillers up over the front and push them through to the back above the first knot.",
				"Pull them down behind until the knots roll up into a ball.",
				"Lock it with a square knot close below.",
			},
			Source: "added up from its four square knots (" + derived + "); the rolling: " + common, Trust: Low,
		},
		{
			Name: "picot knot", Short: "PK", Also: []string{"picot", "picot square knot"}, Shape: Group,
			About: "A square knot tied a little below the last and pushed up, so that the outer ends bow out in loops.",
			Ends:  4, Fewest: 3, Most: 40,
			Roles: []Role{
				{Name: "worker", Works: true, Takes: "turn(k) + pitch + 1.5*pi*d + 4*d"},
				{Name: "filler", Takes: "pitch"},
			},
			Places: []string{"worker", "filler...", "worker"},
			Pitch:  "4*d", Height: "pitch", Width: "6*d + 1.226*bundle(k)",
			HowTo: []string{
				"Tie a square knot four cord widths below the last one.",
				"Hold the fillers and push the knot up: the outer ends bow out at both sides.",
			},
			Source: derived + " for the knot; loops of four cord widths: " + common, Trust: Medium,
			Note: "For bare gaps that stay open use `apart` with square knots instead.",
		},
		{
			Name: "double half hitch", Short: "DHH", Also: []string{"clove hitch", "bar hitch"}, Shape: Hitch,
			About: "Two half hitches of each end over a carrier; a row of them makes a bar.",
			Ends:  2, Fewest: 2, Most: 400,
			Roles: []Role{
				{Name: "hitching end", Works: true, Takes: "2*turn(k) + 2.2*d + 0.6*d/(k*k) + 1.6*max(0*d, 2.93*d - pitch)"},
				{Name: "carrier", Takes: "0.03*pitch"},
			},
			Pitch: "2.93*d", Pushed: "2.4*d", Height: "3*d", Width: "pitch", Closer: "2*d",
			HowTo: []string{
				"Hold the carrier across the front of the other ends, the way the bar shall run.",
				"Take the next end up in front of the carrier, round behind it and out at its own side. Draw up.",
				"The same once more with the same end: the second half hitch lies beside the first.",
				"Go on with the next end. A gather lets each end that has tied lie in with the carrier.",
			},
			Source: derived + "; pitch: 2.93 d touching, about 2.4 d by hand, jams below 2.0 d; crimp of the carrier 3 %: " + common, Trust: Medium,
		},
		{
			Name: "half hitch", Short: "HH", Also: []string{"half hitch spiral", "single half hitch"}, Shape: Group, Family: Hitches,
			About: "The first end hitches round the others, always with the same hand; the sinnet turns into a thin spiral.",
			Ends:  2, Fewest: 2, Most: 40,
			Roles: []Role{
				{Name: "hitching end", Works: true, Takes: "turn(k) + 4.22*d"},
				{Name: "core", Takes: "pitch"},
			},
			Places: []string{"hitching end", "core..."},
			Pitch:  "1.86*d", Height: "pitch", Width: "2*d + bundle(k)",
			HowTo: []string{
				"Take the first end across the front of the others, round behind and out through its own loop.",
				"Draw up and repeat from the same side; let the hitches turn round the core.",
			},
			Source: derived, Trust: High,
		},
		{
			Name: "vertical lark's head", Short: "VLH", Also: []string{"vertical cow hitch", "tatting hitch"}, Shape: Group, Family: Hitches,
			About: "The first end ties a pair of mirrored hitches round the others.",
			Ends:  2, Fewest: 2, Most: 40,
			Roles: []Role{
				{Name: "hitching end", Works: true, Takes: "2*turn(k) + pitch + 1.5*pi*d"},
				{Name: "core", Takes: "pitch"},
			},
			Places: []string{"hitching end", "core..."},
			Pitch:  "4*d", Height: "pitch", Width: "2*d + bundle(k)",
			HowTo: []string{
				"Take the first end over the front of the core, round behind and out over itself.",
				"Then under the core from behind, over the front and out under itself.",
				"Draw the pair together.",
			},
			Source: derived, Trust: Medium,
		},
		{
			Name: "overhand knot", Short: "OH", Also: []string{"overhand", "thumb knot"}, Shape: Group,
			About: "All ends of the group together make one loop and go through it.",
			Ends:  2, Fewest: 1, Most: 60,
			Roles:  []Role{{Name: "strand", Works: true, Takes: "10.1*d*n^0.46 + pitch"}},
			Places: []string{"strand..."},
			Pitch:  "2*bundle(n)", Height: "pitch", Width: "3*bundle(n)",
			HowTo: []string{
				"Take the ends together as one.",
				"Make a loop, pass the ends through it and draw up where the knot shall sit.",
			},
			Source: derived + " for 1 to 4 ends; more ends by the diameter of their bundle; height and width: " + common, Trust: Medium,
		},
		{
			Name: "three-strand plait", Short: "3P", Also: []string{"plait", "braid", "three strand braid"}, Shape: Plait,
			About: "The outer strands go to the middle in turn. Six ends make three strands of two.",
			Ends:  3, Fewest: 3, Most: 60, Step: 3,
			Roles:  []Role{{Name: "strand", Works: true, Takes: "bundle(n/3)*sqrt((pitch/bundle(n/3))^2 + 6.65^2)"}},
			Places: []string{"strand..."},
			Pitch:  "8*bundle(n/3)", Height: "pitch", Width: "3*bundle(n/3)",
			HowTo: []string{
				"Divide the ends into three strands.",
				"Lay the left strand over the middle one, then the right strand over the new middle one.",
				"Keep an even pull; six crossings make one repeat.",
			},
			Source: derived + "; a repeat of 8 strand widths by hand: " + common, Trust: Low,
		},
		{
			Name: "four-strand plait", Short: "4P", Also: []string{"four strand braid", "flat plait of four"}, Shape: Plait,
			About: "Four strands side by side: the outer ones go over one and under one in turn. Eight ends make four strands of two.",
			Ends:  4, Fewest: 4, Most: 60, Step: 4,
			Roles:  []Role{{Name: "strand", Works: true, Takes: "bundle(n/4)*sqrt((pitch/bundle(n/4))^2 + 10^2)"}},
			Places: []string{"strand..."},
			Pitch:  "10.7*bundle(n/4)", Height: "pitch", Width: "4*bundle(n/4)",
			HowTo: []string{
				"Divide the ends into four strands.",
				"Lay the second strand over the first, and the fourth under the third.",
				"Cross the two strands that now lie in the middle, the left one over the right one.",
				"Keep an even pull and repeat both moves.",
			},
			Source: "reasoned from the three-strand plait, each strand crossing three others each way instead of two; a repeat of 10.7 strand widths by hand: " + common, Trust: Low,
			Note: "Tie a swatch before you cut much: how tightly it is plaited decides.",
		},
		{
			Name: "gathering wrap", Short: "GW", Also: []string{"wrap", "gathering knot", "wrapped knot"}, Shape: Wrap,
			About: "A separate cord is wound round all the ends and locked inside its own winding.",
			Ends:  9, Fewest: 2, Most: 401,
			Roles: []Role{
				{Name: "turn", Works: true, Takes: "d*sqrt((turn(k)/d)^2 + 1) + 2*d"},
				{Name: "tails", Works: true, Takes: "10*cm", Once: true},
			},
			Pitch: "d", Height: "pitch", Width: "2*d + bundle(k)",
			HowTo: []string{
				"Lay the wrap cord along the bundle in a long loop, fold downwards, with a short tail standing up.",
				"Wind the long part round bundle and loop, from the top down, each turn touching the last.",
				"Put the end through the loop that still shows below.",
				"Pull the short tail at the top until the loop has drawn the end under the winding. Trim both.",
			},
			Source: "a helix round the bundle (" + derived + "), the loop buried under every turn, and 10 cm of tails to pull (" + common + ")", Trust: High,
		},
		{
			Name: "fringe lark's head", Short: "FLH", Also: []string{"fringe knot"}, Shape: Mount,
			About: "Hangs a folded piece of fringe on a loop of the edge.",
			Ends:  2, Fewest: 2, Most: 2,
			Roles:  []Role{{Name: "end", Works: true, Takes: "5*pi/6*(D + d) + 2.16*d"}},
			Height: "D/2 + d", Width: "4*d", Closer: "3*d",
			HowTo: []string{
				"Fold the piece in the middle and push the fold through the loop of the edge.",
				"Pull both ends through the fold and draw up.",
				"Comb and trim when all pieces hang.",
			},
			Source: derived + "; a lark's head with the edge cord as its rod", Trust: Medium,
		},
		{
			Name: "alternating net", Short: "AN", Also: []string{"net", "alternating square knots"}, Shape: Pattern,
			About:  "Rows of square knots, each row shifted by half a knot, so that every knot ties two neighbours together.",
			Ends:   4,
			HowTo:  []string{"Tie a row of square knots.", "For the next row leave half a group at both edges and tie the halves of neighbouring knots together.", "Go on in turn."},
			Source: "an arrangement of square knots: nothing of its own", Trust: High,
			Note: "In a sheet: `net square rows 6`.",
		},
	}
}
