package say

import (
	"fmt"
	"slices"
	"strings"

	"larkfold/commands/picture/drawn"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// Instructions puts what was traced into plain words, panel by panel: which row,
// which ends, how many knots, which end carries and where it ends up. Ends are
// counted from the left as they stand then.
func Instructions(r trace.Result, units length.Style) []drawn.Instructions {
	var all []drawn.Instructions
	for i, p := range r.Sheet.Panels {
		t := teller{r: r, panel: i, units: units, byStep: map[int][]trace.Placed{}}
		for _, k := range r.Placed {
			if k.Panel == i && !(p.BothWays && r.Ends[k.Ends[0]].Side == trace.Right) {
				t.byStep[k.Step] = append(t.byStep[k.Step], k)
			}
		}
		in := drawn.Instructions{Name: p.Name}
		switch {
		case p.Round:
			in.Name += " (round: its last end lies beside its first)"
		case p.BothWays:
			in.Name += " (both ways: work these steps to one side of the middle, then the same to the other)"
		}
		if len(p.From) > 0 {
			t.tell(nil, 0, 0, "Take up the ends of "+noun.List(p.From)+" side by side, left to right.")
		}
		t.steps(p.Steps)
		in.Steps, in.Tells, in.Spans = t.told, t.tells, t.spans
		all = append(all, in)
	}
	if after := finishing(r, units); len(after.Steps) > 0 {
		all = append(all, after)
	}
	return all
}

// Steps are the instructions of a sized sheet as blocks, each step with its number.
func Steps(sized sizing.Sized, p sitting.Prefs) []reply.Block {
	blocks := []reply.Block{reply.Heading(Title(sized) + ", step by step"), Chart(sized, p)}
	for n, in := range Instructions(sized.Result, p.Style) {
		lines := make([]string, len(in.Steps))
		for i, s := range in.Steps {
			lines[i] = in.Number(i) + ". " + s
		}
		blocks = append(blocks, reply.Text(in.Name), reply.Text(strings.Join(lines, "\n")), stepSheet(sized, n, in, p))
	}
	return append(blocks, Cautions(sized)...)
}

// teller tells the steps of one panel.
type teller struct {
	r      trace.Result
	panel  int
	units  length.Style
	byStep map[int][]trace.Placed // index into Panel.Done to what was tied

	told  []string
	tells []sheet.Step
	spans []drawn.Span
}

// tell adds sentences about the steps done from one on, a step each, or one about
// those from one up to another.
func (t *teller) tell(about []sheet.Step, from, to int, sentences ...string) {
	t.told = append(t.told, sentences...)
	if len(about) == 0 {
		t.tells = append(t.tells, nil)
		t.spans = append(t.spans, drawn.Span{Panel: t.panel, From: from, To: to})
		return
	}
	t.tells = append(t.tells, about...)
	for i := range about {
		t.spans = append(t.spans, drawn.Span{Panel: t.panel, From: from + i, To: from + i + 1})
	}
}

// steps tells steps one after the other. What repeats is told once, when every
// round of it is the same, and done again.
func (t *teller) steps(steps []sheet.Step) {
	done := 0 // index into Panel.Done
	for i := 0; i < len(steps); i++ {
		again, ok := steps[i].(sheet.Repeat)
		if !ok {
			t.tell(steps[i:i+1], done, done+1, t.sentence(done, steps[i]))
			done++
			continue
		}
		var block []sheet.Step
		for i++; i < len(steps); i++ {
			if _, end := steps[i].(sheet.End); end {
				break
			}
			block = append(block, steps[i])
		}
		first := t.block(done, block)
		from := len(t.told) + 1
		t.tell(block, done, done+len(block), first...)
		same := 0
		for n := 1; n < again.Times; n++ {
			round := t.block(done+n*len(block), block)
			if same == n-1 && slices.Equal(round, first) {
				same++
				continue
			}
			if same > 0 {
				t.tell(nil, done+len(block), done+n*len(block), againSentence(from, len(first), same))
			}
			same = -1
			t.tell(block, done+n*len(block), done+(n+1)*len(block), round...)
		}
		if same > 0 {
			t.tell(nil, done+len(block), done+again.Times*len(block), againSentence(from, len(first), same))
		}
		done += again.Times * len(block)
	}
}

func (t *teller) block(done int, block []sheet.Step) []string {
	told := make([]string, len(block))
	for i, s := range block {
		told[i] = t.sentence(done+i, s)
	}
	return told
}

func againSentence(from, steps, times int) string {
	which := fmt.Sprintf("step %d", from)
	if steps > 1 {
		which = fmt.Sprintf("steps %d to %d", from, from+steps-1)
	}
	return fmt.Sprintf("Do %s again, %s more.", which, noun.Count(times, "time"))
}

func (t *teller) sentence(done int, s sheet.Step) string {
	return Sentence(t.words(done, s))
}

// words are what one step comes to.
func (t *teller) words(done int, s sheet.Step) string {
	tied := t.byStep[done]
	switch s := s.(type) {
	case sheet.Row:
		return "one row: " + t.row(tied)
	case sheet.Net:
		return t.rows("alternating "+noun.Plural(s.Knot), s.Rows, s.Apart, tied)
	case sheet.Taper:
		way := ", narrowing by half a knot at both edges"
		if s.Widen {
			way = ", widening by half a knot at both edges"
		}
		return t.rows(noun.Plural(s.Knot)+way, s.Rows, s.Apart, tied)
	case sheet.Sinnet:
		return t.sinnet(s, tied)
	case sheet.Bar:
		return t.bar(s, tied)
	case sheet.Onto:
		return fmt.Sprintf("hitch %s onto %s, each by a double half hitch, level", groupsOf(tied), rodWords(s.Rod))
	case sheet.Plait:
		strands := "three"
		if s.Strands == 4 {
			strands = "four"
		}
		return fmt.Sprintf("plait %s in %s strands for %s", groupsOf(tied), strands, t.units.Format(s.Length))
	case sheet.Wrap:
		return t.wrap(s, tied)
	case sheet.Bead:
		var threaded []trace.Placed
		for _, b := range t.r.Beads {
			if b.Panel == t.panel && b.Step == done && !t.mirrored(b) {
				threaded = append(threaded, trace.Placed{Places: b.Places})
			}
		}
		return fmt.Sprintf("thread %s of %s on %s", noun.Count(len(threaded), "bead"), t.units.Format(s.Length), groupsOf(threaded))
	case sheet.Add:
		return t.add(done, s)
	}
	return stepWords(s, t.units)
}

func (t *teller) mirrored(b trace.Beaded) bool {
	return t.r.Panels[t.panel].BothWays && t.r.Ends[b.Ends[0]].Side == trace.Right
}

func rodWords(name string) string {
	if name == "rod" {
		return "the rod"
	}
	return name
}

// row is one row of knots: how many, and on which ends.
func (t *teller) row(tied []trace.Placed) string {
	if len(tied) == 0 {
		return "nothing"
	}
	return noun.Count(len(tied), tied[0].Knot.Name) + " on " + groupsOf(tied) + crossed(tied[0])
}

// crossed says of a knot whose outer ends change sides that they do.
func crossed(k trace.Placed) string {
	if k.Knot.Cross && len(k.Ends) > 1 {
		return ", the outer two ends changing sides in each"
	}
	return ""
}

// rows are rows of knots, those that are alike told together.
func (t *teller) rows(what string, count sheet.Count, apart length.Length, tied []trace.Placed) string {
	byRow := map[int][]trace.Placed{}
	last := -1
	for _, k := range tied {
		byRow[k.Round] = append(byRow[k.Round], k)
		last = max(last, k.Round)
	}
	var texts []string
	numbers := map[string][]int{}
	for n := range last + 1 {
		text := t.row(byRow[n])
		if numbers[text] == nil {
			texts = append(texts, text)
		}
		numbers[text] = append(numbers[text], n+1)
	}
	parts := make([]string, len(texts))
	for i, text := range texts {
		parts[i] = rowNumbers(numbers[text]) + ": " + text
	}
	return noun.Count(last+1, "row") + " of " + what + t.reaching(count) + between(apart, t.units) + ": " + strings.Join(parts, "; ")
}

// reaching says what a count that is not a number was to reach.
func (t *teller) reaching(c sheet.Count) string {
	switch {
	case c.For > 0:
		return ", which reach " + t.units.Format(c.For)
	case c.Under != "":
		return ", which pass under " + c.Under
	}
	return ""
}

// rowNumbers are "row 3", "rows 1, 3 and 5", or "rows 1, 3 and so on to 45".
func rowNumbers(n []int) string {
	const most = 4
	if len(n) == 1 {
		return fmt.Sprintf("row %d", n[0])
	}
	step := n[1] - n[0]
	even := len(n) > most
	for i := 2; i < len(n); i++ {
		even = even && n[i]-n[i-1] == step
	}
	if even {
		return fmt.Sprintf("rows %d, %d and so on to %d", n[0], n[1], n[len(n)-1])
	}
	words := make([]string, len(n))
	for i, one := range n {
		words[i] = fmt.Sprint(one)
	}
	return "rows " + noun.List(words)
}

// sinnet is knots one below the other.
func (t *teller) sinnet(s sheet.Sinnet, tied []trace.Placed) string {
	rounds := 0
	var first []trace.Placed
	for _, k := range tied {
		rounds = max(rounds, k.Round+1)
		if k.Round == 0 {
			first = append(first, k)
		}
	}
	if len(first) == 0 {
		return "nothing"
	}
	each := ""
	if len(first) > 1 {
		each = fmt.Sprintf(", %d in all", len(tied))
	}
	return fmt.Sprintf("one below the other, %s on %s%s%s%s%s", noun.Count(rounds, s.Knot), groupsOf(first), each, t.reaching(s.Times), between(s.Apart, t.units), crossed(first[0]))
}

// bar is which end is carried where, and which hitch over it.
func (t *teller) bar(s sheet.Bar, tied []trace.Placed) string {
	if len(tied) == 0 {
		return "nothing"
	}
	rounds := 0
	from, first, last := tied[0].Places[0], tied[0].Places[1], tied[0].Places[1]
	for _, k := range tied {
		rounds = max(rounds, k.Round+1)
		if k.Round == 0 {
			last = k.Places[1]
		}
	}
	way, moved := "right", "left"
	if last < from {
		way, moved = "left", "right"
	}
	hitching := fmt.Sprintf("ends %d to %d", first, last)
	if first == last {
		hitching = fmt.Sprintf("end %d", first)
	}
	over := "each tie a double half hitch over it in turn"
	if first == last {
		over = "ties a double half hitch over it"
	}
	if s.Gather {
		over += " and then lie in with it"
	}
	words := fmt.Sprintf("carry end %d to the %s%s: %s %s; it is end %d then, and those it has passed stand one place further %s", from, way, inclined(s), hitching, over, last, moved)
	if rounds > 1 {
		words += fmt.Sprintf("; do this %d times in all, each time with the end that stands at %d then", rounds, from)
	}
	return words + t.reaching(s.Times) + between(s.Apart, t.units)
}

func inclined(s sheet.Bar) string {
	switch {
	case s.Slope == nil:
		return ", falling as steeply as lets the hitches touch"
	case *s.Slope == 0:
		return ", level"
	}
	return ", falling at " + number(*s.Slope) + " degrees"
}

func (t *teller) wrap(s sheet.Wrap, tied []trace.Placed) string {
	if len(tied) == 0 {
		return "nothing"
	}
	how := noun.Count(s.Turns, "turn")
	switch {
	case s.Cut > 0:
		how = "as far as " + t.units.Format(s.Cut) + " of cord go"
	case s.Turns == 0:
		how = t.units.Format(s.Length) + " long"
	}
	with := ""
	if s.Cord != "" {
		with = " with " + s.Cord
	}
	return fmt.Sprintf("a gathering wrap, %s, round %s%s", how, groupsOf(tied), with)
}

// add is which cords are added and which ends they are.
func (t *teller) add(done int, s sheet.Add) string {
	first, count := 0, 0
	for _, strand := range t.r.Strands {
		if strand.Added && strand.Panel == t.panel && strand.Step == done {
			if first == 0 {
				first = strand.Place
			}
			count += len(strand.Ends)
		}
	}
	which := fmt.Sprintf("they are ends %d to %d", first, first+count-1)
	if count == 1 {
		which = fmt.Sprintf("it is end %d", first)
	}
	return stepWords(s, t.units) + "; " + which + " then"
}

// groupsOf says which ends make the groups of a row: "each 4 ends from 1 to 24",
// or "ends 1 to 6" where there is only one.
func groupsOf(tied []trace.Placed) string {
	var parts []string
	for i := 0; i < len(tied); {
		size := len(tied[i].Places)
		if !sideBySide(tied[i].Places) {
			parts = append(parts, "ends "+numbers(tied[i].Places))
			i++
			continue
		}
		j := i
		for j+1 < len(tied) && len(tied[j+1].Places) == size && sideBySide(tied[j+1].Places) && tied[j+1].Places[0] == tied[j].Places[size-1]+1 {
			j++
		}
		a, b := tied[i].Places[0], tied[j].Places[size-1]
		to := "to"
		if b < a {
			to = "round to"
		}
		switch {
		case i == j && size == 1:
			parts = append(parts, fmt.Sprintf("end %d", a))
		case i == j:
			parts = append(parts, fmt.Sprintf("ends %d %s %d", a, to, b))
		case size == 1:
			parts = append(parts, fmt.Sprintf("each end from %d %s %d", a, to, b))
		default:
			parts = append(parts, fmt.Sprintf("each %d ends from %d %s %d", size, a, to, b))
		}
		i = j + 1
	}
	return strings.Join(parts, " and ")
}

// sideBySide tells whether places follow on each other, at most once round.
func sideBySide(places []int32) bool {
	turns := 0
	for i := 1; i < len(places); i++ {
		if places[i] != places[i-1]+1 {
			turns++
			if places[i] != 1 {
				return false
			}
		}
	}
	return turns <= 1
}

func numbers(places []int32) string {
	words := make([]string, len(places))
	for i, p := range places {
		words[i] = fmt.Sprint(p)
	}
	return noun.List(words)
}
