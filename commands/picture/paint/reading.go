package paint

// reading divides the shapes of a page into what is read: the passages that are marked
// as such, the words of every other part as a paragraph, and between them, without a
// role, what only adorns.
func (d *Drawing) reading() []passage {
	const adorns = -1
	owner := make([]int, len(d.Shapes)) // part, or passage after the parts
	for i := range owner {
		owner[i] = adorns
	}
	for n := len(d.Parts) - 1; n >= 0; n-- { // a part within another belongs to it
		p := d.Parts[n]
		if !d.worded(p.From, p.To) {
			continue
		}
		for i := p.From; i < p.To; i++ {
			owner[i] = n
		}
	}
	for n, p := range d.passages {
		for i := p.from; i < p.to; i++ {
			owner[i] = len(d.Parts) + n
		}
	}
	var all []passage
	for from := 0; from < len(owner); {
		to := from
		for to < len(owner) && owner[to] == owner[from] {
			to++
		}
		p := passage{from: from, to: to}
		switch n := owner[from] - len(d.Parts); {
		case n >= 0:
			p.role, p.alt = d.passages[n].role, d.passages[n].alt
		case owner[from] != adorns && d.worded(from, to):
			p.role = "P"
		}
		all = append(all, p)
		from = to
	}
	return all
}

// worded tells whether there are words among some shapes.
func (d *Drawing) worded(from, to int) bool {
	for _, s := range d.Shapes[from:to] {
		if s.Words.Text != "" {
			return true
		}
	}
	return false
}
