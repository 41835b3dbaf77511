package slip

import (
	"slices"
	"strings"
	"unicode"

	"larkfold/commands/ask"
	"larkfold/commands/reply"
	"larkfold/sizing/near"
)

// reading is how the values of an option are read.
type reading int

// The readings. A choice and yes or no are known from the option itself.
const (
	inWords reading = iota // a name, a list, a description: any words
	asLength
	asThickness // a length, bare in millimetres
	asCount     // a whole number
	asMoney
	asPercent
	asMass
)

// sense is what an option's name says, in whichever command it stands.
type sense struct {
	of   string // one phrase
	read reading
	like string // a value as it is typed
}

// meanings are those of all options: a name means one thing.
var meanings = map[string]sense{
	"width":          {"the finished width", asLength, "40cm"},
	"drop":           {"how far it hangs", asLength, "70cm"},
	"finished":       {"how long it will be", asLength, "1.2m"},
	"tail":           {"what of it hangs free", asLength, "15cm"},
	"thickness":      {"how thick the cord is", asThickness, "4mm"},
	"wrap-thickness": {"how thick the wrapping cord is", asThickness, "4mm"},
	"construction":   {"how the cord is made", inWords, "plied"},
	"dowel":          {"what it hangs on: its thickness, its length, or length x thickness", asThickness, "20mm"},
	"length":         {"how long the dowel is; of a wrap the former name of cord", asLength, "60cm"},
	"wood":           {"what the dowel is made of", inWords, "birch"},
	"bare":           {"bare dowel at each end", asLength, "3cm"},
	"spread":         {"where the groups go", inWords, "even"},
	"rise":           {"how high the hook is above the dowel", asLength, "15cm"},
	"angle":          {"the angle of the hanger's legs in degrees", asCount, "45"},
	"load":           {"the mass that hangs", asMass, "900g"},
	"cords":          {"how many folded cords, in groups", inWords, "12, 8, 12"},
	"knot":           {"which knot", inWords, "square"},
	"knotwork":       {"what fills the piece", inWords, "net"},
	"ends":           {"how many ends", asCount, "4"},
	"count":          {"how many", asCount, "10"},
	"turns":          {"how many times round", asCount, "5"},
	"strands":        {"how many cords, folded over", asCount, "12"},
	"loops":          {"how many loops the edge has", asCount, "12"},
	"per-loop":       {"how many pieces to a loop", asCount, "2"},
	"folded":         {"whether each is folded and hung", inWords, "yes"},
	"economy":        {"whether every cord is cut to its own need", inWords, "yes"},
	"spool":          {"what a new spool holds", inWords, "100m"},
	"price":          {"what a new spool costs", inWords, "24.00"},
	"cord":           {"the cord, in words, with its thickness", inWords, "4 mm single-strand"},
	"note":           {"a remark for yourself", inWords, "from the lantern"},
	"pieces":         {"a list of pieces", inWords, "45cm x12, 1.2m x3"},
	"piece":          {"how long the pieces are that you have", asLength, "50cm"},
	"far":            {"the drop at the far end of the edge", asLength, "30cm"},
	"panel":          {"which panel of the design", inWords, "front"},
	"side":           {"which edge", inWords, "left"},
	"keep":           {"the shortest rest worth keeping", asLength, "10cm"},
	"book":           {"whether it is booked at once", inWords, "yes"},
	"project":        {"a saved design", inWords, "Tide Line"},
	"name":           {"what it is called", inWords, "Tide Line"},
	"to":             {"the new name", inWords, "Ebb Line"},
	"have":           {"cord that you have", inWords, "60m"},
	"copies":         {"how many of the piece are made", asCount, "2"},
	"tie":            {"how you tie knots", inWords, "relaxed"},
	"hang":           {"how close your cords hang", inWords, "touching"},
	"plait":          {"how you plait", inWords, "tight"},
	"squeeze":        {"how thick the cord is when knotted, as a share of its label", inWords, "0.75"},
	"only":           {"which cord of the sheet", inWords, "main"},
	"sheet":          {"the text of a working sheet", inWords, "@sheet.txt"},
	"written":        {"whether the sheet is shown", inWords, "yes"},
	"steps":          {"whether the steps are shown", inWords, "yes"},
	"changes":        {"how many changes", asCount, "1"},
	"save":           {"a name to save it under", inWords, "Ebb Line"},
	"why":            {"a letter of the cut list", inWords, "A"},
	"paper":          {"the paper to print on", inWords, "A4"},
	"demo":           {"a demo design", inWords, "tide-line"},
	"new":            {"whether to begin from nothing", inWords, "yes"},
	"what":           {"a quantity", inWords, "3/16 in"},
	"topic":          {"what help is asked about", inWords, "cord"},
	"rule":           {"one doubling rule", inWords, "medium"},
	"formula":        {"a length as a formula", inWords, "4.5*finished + 20 cm"},
	"whose":          {"yours, or the community's", inWords, "me"},
	"source":         {"where it comes from", inWords, "my own"},
	"places":         {"the roles of a knot's ends from left to right", inWords, "worker, filler..., worker"},
	"roles":          {"what each role takes", inWords, "worker ties: 8*d"},
	"pitch":          {"advance from knot to knot, as a formula", inWords, "4*d"},
	"height":         {"what a knot adds to the work, as a formula", inWords, "4*d"},
	"across":         {"what a knot takes across, as a formula", inWords, "6*d"},
	"how":            {"how it is tied", inWords, "fold; pull"},
	"used":           {"cord that one working end used", asLength, "54cm"},
	"before":         {"a working end before tying", asLength, "100cm"},
	"after":          {"what of it hangs free after tying", asLength, "46cm"},
	"sample":         {"the length of a whole sample", asLength, "11cm"},
	"for":            {"how much a wrap covers", asLength, "4cm"},
	"short":          {"a letter of the cut list whose cords are too short", inWords, "A"},
	"by":             {"how much they are too short", asLength, "20cm"},
	"risk":           {"the chance of running short, in percent", asPercent, "5"},
	"margin":         {"spare on every need, in percent", asPercent, "10"},
	"step":           {"what cuts are rounded up to", asLength, "5cm"},
	"units":          {"the units of answers", inWords, "metric"},
	"detail":         {"how much an answer says", inWords, "short"},
	"number":         {"a number in a list", asCount, "1"},
	"from":           {"the part to begin with", inWords, "2"},
	"page":           {"a page of a list", asCount, "2"},
	"confirm":        {"the phrase that goes ahead", inWords, ask.ForgetPhrase},
}

// otherwise are words that people use for an option, where a command has it and no
// option of that name: trade usage, no source.
var otherwise = map[string][]string{
	"wide": {"width"}, "across": {"width"}, "breadth": {"width"},
	"long": {"drop", "finished", "length"}, "length": {"drop", "finished"}, "height": {"drop", "sample"}, "high": {"drop", "rise"}, "tall": {"drop"}, "deep": {"drop"},
	"thick": {"thickness"}, "diameter": {"thickness", "dowel"}, "mm": {"thickness"}, "cord": {"thickness", "only"},
	"fringe": {"tail"}, "tassel": {"tail"}, "tails": {"tail"}, "rod": {"dowel"}, "stick": {"dowel", "length"}, "pole": {"dowel"}, "branch": {"length", "dowel", "wood"}, "scraps": {"have"}, "leftovers": {"have"}, "offcuts": {"have"},
	"pattern": {"knotwork", "knot"}, "stitch": {"knot"}, "type": {"construction"}, "material": {"construction"}, "made": {"construction"},
	"pieces": {"count", "loops"}, "number": {"count", "loops", "ends"}, "times": {"count", "turns"}, "amount": {"count"}, "knots": {"count"}, "pcs": {"count"},
	"mass": {"load"}, "weight": {"load"}, "title": {"name"}, "design": {"project", "name"}, "project": {"name"}, "called": {"name"}, "name": {"project", "save", "rule"}, "as": {"save", "to"},
	"cost": {"price"}, "rest": {"keep"}, "ends": {"bare", "places"}, "width": {"across"}, "for": {"whose"}, "steps": {"changes"}, "sheet": {"written"},
	"per": {"per-loop"}, "unit": {"units"}, "round": {"step"}, "spare": {"margin"}, "size": {"width"}, "finish": {"finished"}, "format": {"paper"},
	"value": {"what"}, "quantity": {"what"}, "word": {"topic"}, "about": {"topic"}, "command": {"topic"}, "slope": {"far"}, "to": {"far"},
}

// OfTheShelf tells whether a name is one that people give to what lies on their shelf,
// which no option of a command that cuts takes.
func OfTheShelf(name string) bool {
	return slices.Contains([]string{"have", "scraps", "leftovers", "offcuts"}, name)
}

// OptionMeant is the option of a command that a typed name means: itself, one that is
// called so in the trade and may have such a value, or the nearest.
func OptionMeant(c reply.Command, typed, value string) (reply.Option, bool) {
	names := make([]string, len(c.Options))
	for i, o := range c.Options {
		names[i] = o.Name
	}
	name := strings.ToLower(typed)
	if !slices.Contains(names, name) {
		called := slices.IndexFunc(otherwise[name], func(o string) bool {
			return slices.Contains(names, o) && (meanings[o].read == inWords || value == "" || startsWithFigure(value))
		})
		if called >= 0 {
			name = otherwise[name][called]
		} else if OfTheShelf(name) {
			return reply.Option{}, false // cord that is there is no name to save under
		} else {
			name = near.Word(name, names)
		}
	}
	i := slices.Index(names, name)
	if i < 0 {
		return reply.Option{}, false
	}
	return c.Options[i], true
}

// startsWithFigure tells whether a text begins as a number does.
func startsWithFigure(text string) bool {
	r := []rune(text)
	return len(r) > 0 && (unicode.IsNumber(r[0]) || len(r) > 1 && strings.ContainsRune("-−.", r[0]) && unicode.IsNumber(r[1]))
}
