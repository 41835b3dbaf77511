package main

import (
	"context"
	"fmt"
	"os"

	"github.com/spf13/pflag"

	"larkfold/cmd/larkfold/files"
	"larkfold/commands/picture"
	"larkfold/commands/picture/drawn"
	"larkfold/commands/picture/paint"
	"larkfold/commands/say"
	"larkfold/sizing"
	"larkfold/sizing/length"
)

// pictures are the files that size writes beside its answer, and how they are written.
type pictures struct{ pdf, png, svg, units, paper string }

func (d *pictures) flags(f *pflag.FlagSet) {
	f.StringVar(&d.pdf, "pdf", "", "write the sheet to cut from, for printing, to this file")
	f.StringVar(&d.png, "png", "", "write the picture to this file")
	f.StringVar(&d.svg, "svg", "", "write the picture as SVG to this file")
	f.StringVar(&d.units, "units", "metric", "metric, imperial or both, in words and pictures; those of the sheet if left out")
	f.StringVar(&d.paper, "paper", "", "a4 or letter for the print; what goes with the units if left out")
}

// systems are the units that can be asked for.
var systems = map[string]length.System{"metric": length.Metric, "imperial": length.Imperial, "both": length.Both}

// check refuses units and papers that there are not.
func (d *pictures) check() error {
	if _, ok := systems[d.units]; !ok {
		return badInput{fmt.Sprintf("--units %s: metric, imperial or both", d.units)}
	}
	switch d.paper {
	case "", "a4", "letter":
		return nil
	}
	return badInput{fmt.Sprintf("--paper %s: a4 or letter", d.paper)}
}

func (d *pictures) style() length.Style { return length.Style{System: systems[d.units]} }

// sheets is the paper that is printed on.
func (d *pictures) sheets() picture.Paper {
	if d.paper == "letter" || d.paper == "" && d.units == "imperial" {
		return picture.Letter
	}
	return picture.A4
}

// write writes the files that were asked for; the sheet itself is not overwritten.
func (d *pictures) write(ctx context.Context, sized sizing.Sized, sheet string) error {
	piece := func(form func(*paint.Drawing) ([]byte, error)) func() ([]byte, error) {
		return func() ([]byte, error) { return form(drawn.Piece(sized, d.style())) }
	}
	for _, file := range []struct {
		path string
		make func() ([]byte, error)
	}{
		{d.pdf, func() ([]byte, error) {
			return picture.Print(ctx, sized, picture.Options{Paper: d.sheets(), Units: d.style(), Steps: say.Instructions(sized.Result, d.style())})
		}},
		{d.png, piece((*paint.Drawing).PNG)},
		{d.svg, piece((*paint.Drawing).SVG)},
	} {
		if file.path == "" {
			continue
		}
		if sameFile(file.path, sheet) {
			return badInput{fmt.Sprintf("%s is the sheet itself; name another file", file.path)}
		}
		data, err := file.make()
		if err != nil {
			return err
		}
		if err := os.WriteFile(file.path, data, 0o644); err != nil {
			return badInput{files.Plain(err).Error()}
		}
	}
	return nil
}

func sameFile(a, b string) bool {
	one, err := os.Stat(a)
	if err != nil {
		return false
	}
	other, err := os.Stat(b)
	return err == nil && os.SameFile(one, other)
}
