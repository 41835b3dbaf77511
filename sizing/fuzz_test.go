package sizing_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"larkfold/sizing"
	"larkfold/sizing/sheet"
)

// Any text is sized or refused with its faults: no panic, no other error, no cut
// of less than nothing.
func FuzzSize(f *testing.F) {
	for _, text := range demos(f) {
		f.Add(text)
	}
	f.Add(small)
	f.Add("")
	f.Add("cord main 4 mm\npanel p round\nmount 8 folded\nrow square skip 9 shift 3\ntaper half rows 3\nwrap turns 9 on 1-4\n")
	f.Add("cord a 1mm\ncord b 60mm braided, spool 1m\npanel p\nmount 2 single b\nadd 3 folded a at middle\nbar left to right slope 89 times 4\ngather right to left\nplait of 6 for 1km\n")
	f.Add("cord a 4mm\nmargin 200%\neconomy\npanel p\nmount 9 folded\npanel q from p\nwiden square\nsinnet overhand times 200000 of 2\nfringe 1km by 100 on both of q\nhanger angle 89\n")
	f.Fuzz(func(t *testing.T, text string) {
		ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
		defer cancel()
		sized, err := sizing.Size(ctx, text, byTheBook())
		if err != nil {
			var faults sheet.Faults
			if !errors.As(err, &faults) {
				t.Fatalf("an error that no member can mend: %v", err)
			}
			return
		}
		for _, c := range sized.List.Cuts {
			if c.Length <= 0 || c.Count <= 0 || c.Fold < 0 || c.Fold > c.Length {
				t.Fatalf("cut %+v", c)
			}
		}
		for _, total := range sized.List.Totals {
			if total.Length <= 0 || total.Mass < 0 {
				t.Fatalf("total %+v", total)
			}
		}
	})
}
