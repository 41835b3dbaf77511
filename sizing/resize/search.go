package resize

import (
	"math"

	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// aim is a size to be met by one factor, with which it never falls.
type aim struct {
	target, now length.Length
	atMost      bool // nothing above the target will do
	at          func(factor) (sheet.Sheet, bool)
	measure     func(trace.Result) length.Length
}

// miss is how far off a size is.
func (a aim) miss(l length.Length) length.Length {
	switch {
	case l <= a.target:
		return a.target - l
	case a.atMost:
		return math.MaxInt64
	}
	return l - a.target
}

// found is the nearest that a search has met.
type found struct {
	sheet    sheet.Sheet
	measured length.Length
	under    length.Length // the largest size that is not above the target; zero when none is
	over     length.Length // the smallest that is not below it; zero when none is
	blocked  bool          // it ended off, where the design cannot follow
	fault    sheet.Fault   // why it cannot; without a text when nothing tells
}

func (f found) why() string {
	if f.fault.Text == "" {
		return ""
	}
	return " (" + f.fault.Text + ")"
}

// take keeps a size that was met, and its sheet where it is nearest to the target.
func (f *found) take(a aim, s sheet.Sheet, size length.Length) {
	if size <= a.target {
		f.under = max(f.under, size)
	}
	if size >= a.target && (f.over == 0 || size < f.over) {
		f.over = size
	}
	if a.miss(size) < a.miss(f.measured) {
		f.sheet, f.measured = s, size
	}
}

// other is the nearest size on the other side of the target; zero when there is none.
func (f found) other(target length.Length) length.Length {
	if f.measured < target {
		return f.over
	}
	return f.under
}

// The factors that a search stays between, and how near it closes in: finer than
// one repeat of the largest sheet and one step of a long length.
const (
	leastFactor = factor(1) / 4096
	mostFactor  = factor(4096)
	fineness    = 1e-4
)

// nearEnough is how far off a size at the end of what can be made may be.
func (a aim) nearEnough() length.Length { return max(a.target/50, 5*length.Millimetre) }

// search halves the way to the factor whose size comes nearest to the target,
// from the sheet as it is. Where the sheet cannot be tied it has come too far.
func (z *sizer) search(s sheet.Sheet, a aim) (found, error) {
	best := found{sheet: s, measured: a.now}
	best.take(a, s, a.now)
	low, high := factor(1), mostFactor
	if a.target < a.now {
		low, high = leastFactor, 1
	}
	x := factor(float64(a.target) / float64(a.now))
	for best.measured != a.target && high-low > fineness*low {
		if x <= low || x >= high {
			x = between(low, high)
		}
		tried, fault, size, err := z.try(a, x)
		if err != nil {
			return best, err
		}
		if fault != nil {
			best.fault = *fault
		} else {
			best.take(a, tried, size)
		}
		if fault != nil && x < 1 || fault == nil && size < a.target {
			low = x
		} else {
			high = x
		}
		x = 0
	}
	best.blocked = (best.under == 0 || best.over == 0) && a.miss(best.measured) > a.nearEnough()
	return best, nil
}

// between is where to look next: halfway, or a good step on as long as one side
// is open.
func between(low, high factor) factor {
	const step = 1.5
	switch {
	case high == mostFactor && low*step < high:
		return low * step
	case low == leastFactor && high/step > low:
		return high / step
	}
	return factor(math.Sqrt(float64(low * high)))
}

// try sizes the sheet at one factor; the fault tells why it cannot be tied there.
func (z *sizer) try(a aim, x factor) (sheet.Sheet, *sheet.Fault, length.Length, error) {
	s, r, fault, err := z.traced(a.at, x)
	if fault != nil || err != nil {
		return s, fault, 0, err
	}
	return s, nil, a.measure(r), nil
}

// traced sizes the sheet at one factor; the fault tells why it cannot be tied there.
func (z *sizer) traced(at func(factor) (sheet.Sheet, bool), x factor) (sheet.Sheet, trace.Result, *sheet.Fault, error) {
	s, ok := at(x)
	if !ok {
		return s, trace.Result{}, &sheet.Fault{}, nil
	}
	r, faults, err := trace.Trace(z.ctx, s, z.maker)
	if err != nil || len(faults) == 0 {
		return s, r, nil, err
	}
	return s, r, &faults[0], nil
}

// trace traces a sheet that a change has made. One that cannot be tied is the
// fault of the change.
func (z *sizer) trace(s sheet.Sheet) (trace.Result, error) {
	r, faults, err := trace.Trace(z.ctx, s, z.maker)
	if err == nil && len(faults) > 0 {
		err = sheet.NewFaults(sheet.Format(s), faults)
	}
	return r, err
}
