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
	asPercent
	asMass
)

// sense is how an option's value is read and typed, in whichever command it stands.
type sense struct {
	read reading
	like string // a value as it is typed
}

// meanings are those of all options: a name means one thing.
var meanings = map[string]sense{
	"width":          {asLength, "40cm"},
	"drop":           {asLength, "70cm"},
	"finished":       {asLength, "1.2m"},
	"tail":           {asLength, "15cm"},
	"thickness":      {asThickness, "4mm"},
	"wrap-thickness": {asThickness, "4mm"},
	"construction":   {inWords, "plied"},
	"dowel":          {asThickness, "20mm"},
	"length":         {asLength, "60cm"},
	"wood":           {inWords, "birch"},
	"bare":           {asLength, "3cm"},
	"spread":         {inWords, "even"},
	"rise":           {asLength, "15cm"},
	"angle":          {asCount, "45"},
	"load":           {asMass, "900g"},
	"cords":          {inWords, "12, 8, 12"},
	"knot":           {inWords, "square"},
	"knotwork":       {inWords, "net"},
	"ends":           {asCount, "4"},
	"count":          {asCount, "10"},
	"turns":          {asCount, "5"},
	"strands":        {asCount, "12"},
	"loops":          {asCount, "12"},
	"per-loop":       {asCount, "2"},
	"folded":         {inWords, "yes"},
	"economy":        {inWords, "yes"},
	"spool":          {inWords, "100m"},
	"price":          {inWords, "24.00"},
	"cord":           {inWords, "4 mm single-strand"},
	"note":           {inWords, "from the lantern"},
	"pieces":         {inWords, "45cm x12, 1.2m x3"},
	"piece":          {asLength, "50cm"},
	"far":            {asLength, "30cm"},
	"panel":          {inWords, "front"},
	"side":           {inWords, "left"},
	"keep":           {asLength, "10cm"},
	"book":           {inWords, "yes"},
	"project":        {inWords, "Tide Line"},
	"name":           {inWords, "Tide Line"},
	"to":             {inWords, "Ebb Line"},
	"have":           {inWords, "60m"},
	"copies":         {asCount, "2"},
	"tie":            {inWords, "relaxed"},
	"hang":           {inWords, "touching"},
	"plait":          {inWords, "tight"},
	"squeeze":        {inWords, "0.75"},
	"only":           {inWords, "main"},
	"sheet":          {inWords, "@sheet.txt"},
	"written":        {inWords, "yes"},
	"steps":          {inWords, "yes"},
	"changes":        {asCount, "1"},
	"save":           {inWords, "Ebb Line"},
	"why":            {inWords, "A"},
	"paper":          {inWords, "A4"},
	"demo":           {inWords, "tide-line"},
	"new":            {inWords, "yes"},
	"what":           {inWords, "3/16 in"},
	"topic":          {inWords, "cord"},
	"rule":           {inWords, "medium"},
	"formula":        {inWords, "4.5*finished + 20 cm"},
	"whose":          {inWords, "me"},
	"source":         {inWords, "my own"},
	"places":         {inWords, "worker, filler..., worker"},
	"roles":          {inWords, "worker ties: 8*d"},
	"pitch":          {inWords, "4*d"},
	"height":         {inWords, "4*d"},
	"across":         {inWords, "6*d"},
	"how":            {inWords, "fold; pull"},
	"used":           {asLength, "54cm"},
	"before":         {asLength, "100cm"},
	"after":          {asLength, "46cm"},
	"sample":         {asLength, "11cm"},
	"for":            {asLength, "4cm"},
	"short":          {inWords, "A"},
	"by":             {asLength, "20cm"},
	"risk":           {asPercent, "5"},
	"margin":         {asPercent, "10"},
	"step":           {asLength, "5cm"},
	"units":          {inWords, "metric"},
	"detail":         {inWords, "short"},
	"number":         {asCount, "1"},
	"from":           {inWords, "2"},
	"page":           {asCount, "2"},
	"confirm":        {inWords, ask.ForgetPhrase},
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
