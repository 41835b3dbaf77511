package trace_test

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// Whatever reads as a sheet is traced or refused: no panic, no length below zero.
func FuzzTrace(f *testing.F) {
	for _, c := range refused {
		f.Add("cord main 4 mm\n" + c.text)
	}
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "sheets", "*.sheet"))
	if err != nil || len(files) == 0 {
		f.Fatal("no demo sheets", err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(text))
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, faults := sheet.Parse(text, knot.Standard())
		if faults.Any() {
			return
		}
		r, found, err := trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard()})
		if err != nil {
			t.Fatal(err)
		}
		if len(found) > 0 {
			return
		}
		for i, e := range r.Ends {
			if e.Mount < 0 || e.Run < 0 || e.TakeUp < 0 || e.Tail < 0 {
				t.Fatalf("end %d uses less than nothing: %+v", i, e)
			}
		}
		for _, p := range r.Panels {
			if p.Width < 0 || p.Drop < 0 {
				t.Fatalf("panel %s measures %v by %v", p.Name, p.Width, p.Drop)
			}
		}
		for _, x := range r.Extras {
			if x.Need.Total() <= 0 || x.Count <= 0 {
				t.Fatalf("extra cord that is none: %+v", x)
			}
		}
	})
}
