package vocabulary

import "strings"

// Sample is a whole sheet that can be sized as it stands.
const Sample = `piece Harbour Steps
cord main 4 mm single-strand
dowel 45 cm x 20 mm

panel front
  mount 12 folded
  net square rows 6
  bar from left to middle
  bar from right to middle
  sinnet half knot times 10 on middle 4   # a spiral
  tail 20 cm`

// Sheet is a whole sheet that holds the word's example and can be sized.
func (w Word) Sheet() string {
	line := w.Example
	first, rest, _ := strings.Cut(line, " ")
	holds := func(text string) bool { return strings.Contains(line, text) }
	var head, before, after []string
	panel, steps := "panel wave", []string{"mount 12 folded", "row square", line, "tail 20 cm"}
	part := PartOf(first)
	if part != InPanel {
		steps = []string{"mount 12 folded", "net square rows 8", "tail 20 cm"}
	}
	switch {
	case first == "gap":
		steps = []string{line, "mount 12 folded", "row square", "tail 20 cm"}
	case first == "mount":
		steps = []string{line, "row square on left 4", "tail 20 cm"}
	case first == "widen":
		steps = []string{"mount 12 folded", line, "tail 20 cm"}
	case first == "tail":
		steps = []string{"mount 12 folded", "row square", line}
	case first == "repeat" || first == "end":
		steps = []string{"mount 12 folded", "repeat 3", "row square", "space 2 cm", "end", "tail 20 cm"}
	case holds(" shift "):
		panel = "panel wave round"
	case holds("both ways"):
		panel, steps = line, []string{"mount 8 laid", "row square", "tail 15 cm"}
	case first == "ring":
		panel = "panel wave round"
	case part == AfterPanel:
		after = append(after, line)
	case part == Head && first != "cord" && first != "dowel":
		head = append(head, line)
	}
	if first == "cord" {
		head = append(head, line)
	}
	if name, _, _ := strings.Cut(rest, " "); first != "cord" || name != "main" {
		head = append(head, "cord main 4 mm single-strand")
	}
	if holds("sand") {
		head = append(head, "cord sand 4 mm single-strand", "cord reed 4 mm single-strand colour teal")
	}
	switch {
	case first == "dowel" || first == "ring":
		head = append(head, line)
	case !holds("both ways"):
		head = append(head, "dowel 50 cm x 20 mm birch")
	}
	if holds("onto foot") {
		head = append(head, "dowel foot 50 cm x 10 mm birch")
	}
	if holds("reed") && !holds("sand") {
		before = append(before, "panel reed", "  mount 4 folded", "  net square rows 8", "  tail 20 cm")
	}
	if holds(" from wave") {
		before = append(before, "panel wave", "  mount 4 folded", "  net square rows 8", "  tail 20 cm")
		panel, steps = line, []string{"row square", "tail 20 cm"}
	}
	all := append(head, before...)
	all = append(all, panel)
	for _, s := range steps {
		all = append(all, "  "+s)
	}
	return strings.Join(append(all, after...), "\n") + "\n"
}

// PartOf is where in a sheet lines with this first word stand.
func PartOf(first string) Part {
	for _, w := range words {
		if w.Name == first && w.Part != Detail {
			return w.Part
		}
	}
	return Detail
}
