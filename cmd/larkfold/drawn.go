package main

import (
	"fmt"
	"os"

	"larkfold/commands/picture"
	"larkfold/commands/say"
	"larkfold/sizing"
	"larkfold/sizing/length"

	"github.com/spf13/pflag"
)

// drawn is the files that size writes beside its answer.
type drawn struct{ pdf, png, svg string }

func (d *drawn) flags(f *pflag.FlagSet) {
	f.StringVar(&d.pdf, "pdf", "", "write the sheet to cut from, for printing, to this file")
	f.StringVar(&d.png, "png", "", "write the picture to this file")
	f.StringVar(&d.svg, "svg", "", "write the picture as SVG to this file")
}

// write writes the files that were asked for; the sheet itself is not overwritten.
func (d *drawn) write(sized sizing.Sized, sheet string) error {
	piece := func(form func(*picture.Drawing) ([]byte, error)) func() ([]byte, error) {
		return func() ([]byte, error) { return form(picture.Piece(sized, length.Style{})) }
	}
	for _, file := range []struct {
		path string
		make func() ([]byte, error)
	}{
		{d.pdf, func() ([]byte, error) {
			return picture.Print(sized, picture.Options{Steps: say.Instructions(sized.Result, length.Style{})})
		}},
		{d.png, piece((*picture.Drawing).PNG)},
		{d.svg, piece((*picture.Drawing).SVG)},
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
			return badInput{plainPathError(err).Error()}
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
