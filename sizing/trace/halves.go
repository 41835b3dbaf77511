package trace

import "larkfold/sizing/sheet"

// barred tells whether the sheet has bars, which may meet.
func barred(s sheet.Sheet) bool {
	for _, p := range s.Panels {
		for _, step := range p.Steps {
			if _, bar := step.(sheet.Bar); bar {
				return true
			}
		}
	}
	return false
}

// tied notes that two ends hang together from here on, where bars may ask.
func (t *tracer) tied(a, b int32) {
	if !t.barred {
		return
	}
	if a, b = t.bunch(a), t.bunch(b); a != b {
		t.hangs[a] = b
	}
}

// bunch is an end that stands for all that hang together with this one.
func (t *tracer) bunch(a int32) int32 {
	for range int(a) + 1 - len(t.hangs) {
		t.hangs = append(t.hangs, int32(len(t.hangs)))
	}
	for t.hangs[a] != a {
		t.hangs[a] = t.hangs[t.hangs[a]]
		a = t.hangs[a]
	}
	return a
}

// tiedBar is a bar that has just been tied: its carrier and where that stands.
type tiedBar struct {
	carrier int32
	at      int
}

// meeting is two bars whose carriers came to stand side by side.
type meeting struct {
	bar  sheet.Bar // the second
	step int       // the way it went, 1 to the right
	a, b int32     // both carriers
}

// meets notes a bar that has ended beside the one before it, coming the other way.
func (w *work) meets(s sheet.Bar, to, step int) {
	carrier := w.order[to]
	if last := w.lastBar; last != nil && last.at == to+step {
		w.t.meetings = append(w.t.meetings, meeting{s, step, last.carrier, carrier})
	}
	w.lastBar = &tiedBar{carrier, to}
}

// halves finds bars that meet in the middle of a design whose two sides hang
// together nowhere.
func (t *tracer) halves() {
	for _, m := range t.meetings {
		if t.bunch(m.a) == t.bunch(m.b) {
			continue
		}
		right := m.bar
		right.To.Number += m.step
		t.fault(m.bar.Place, t.line(right), "the bar meets the one before it, but the two sides are tied to each other nowhere and would hang apart: let it go one end further, over the other carrier")
		return
	}
}
