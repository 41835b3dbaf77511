package main

import (
	"encoding/json"
	"errors"
	"io"
	"math"

	"larkfold/cmd/larkfold/files"
	"larkfold/cmd/larkfold/terminal"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
	"larkfold/sizing/vocabulary"

	"github.com/spf13/cobra"
)

// sizeForm is the shape of the answer in JSON.
const sizeForm = `{"piece", "cuts": [{"label","count","length_mm","fold_mm","cord","for"}],
 "ends": [{"panel","number","cord","side","need_mm","parts":{"mount","run","takeup","tail"}}],
 "panels": [{"name","width_mm","drop_mm","knots":{...}}],
 "totals": [{"cord","length_mm","mass_g","spools","cost"}],
 "faults": [{"line","column","text"}]}

spools, cost and fold_mm are null where they are not known or do not apply.`

func sizeCommand() *cobra.Command {
	var asJSON bool
	var files pictures
	cmd := &cobra.Command{
		Use:   "size FILE",
		Short: "Size one working sheet",
		Long:  "Reads a working sheet (- for standard input), follows every end and prints the cut list.\nIt uses the knot book's own figures and no store. With --json it prints\n\n" + sizeForm,
		Args:  cobra.ExactArgs(1),
		RunE: running(func(cmd *cobra.Command, args []string) error {
			text, err := readInput(cmd.InOrStdin(), args[0])
			if err != nil {
				return err
			}
			if err := files.check(); err != nil {
				return err
			}
			if !cmd.Flags().Changed("units") && vocabulary.WrittenInInches(text) {
				files.units = "imperial"
			}
			maker := sizing.Maker{Book: knot.Standard(), Style: files.style()}
			sized, err := sizing.Size(cmd.Context(), text, maker)
			var faults sheet.Faults
			if err != nil && !errors.As(err, &faults) {
				return err
			}
			if !faults.Any() {
				if err := files.write(cmd.Context(), sized, args[0]); err != nil {
					return err
				}
			}
			switch {
			case asJSON:
				err = writeJSON(cmd.OutOrStdout(), inJSON(sized, faults))
			case faults.Any():
				err = terminal.Show(cmd.OutOrStdout(), []reply.Block{reply.Heading("The sheet cannot be sized yet"), reply.Verbatim(faults.Error())})
			default:
				err = terminal.Show(cmd.OutOrStdout(), say.Summary(sized, files.style()))
			}
			if err == nil && faults.Any() {
				return errRefused
			}
			return err
		}),
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON for scripts")
	files.flags(cmd.Flags())
	return cmd
}

// readInput reads a file of text, or standard input for "-".
func readInput(in io.Reader, name string) (string, error) {
	var text string
	var err error
	if name == "-" {
		text, err = files.TextOf(in, "standard input")
	} else {
		text, err = files.Text(name)
	}
	if err != nil {
		return "", badInput{err.Error()}
	}
	return text, nil
}

func writeJSON(out io.Writer, v any) error {
	e := json.NewEncoder(out)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

// sizeJSON is a sized sheet for scripts. What is not known, or does not apply, is
// null.
type sizeJSON struct {
	Piece  string      `json:"piece"`
	Cuts   []cutJSON   `json:"cuts"`
	Ends   []endJSON   `json:"ends"`
	Panels []panelJSON `json:"panels"`
	Totals []totalJSON `json:"totals"`
	Faults []faultJSON `json:"faults"`
}

type cutJSON struct {
	Label  string      `json:"label"`
	Count  int         `json:"count"`
	Length millimetres `json:"length_mm"`
	// Fold is the distance from one end to the fold.
	Fold *millimetres `json:"fold_mm"`
	Cord string       `json:"cord"`
	For  string       `json:"for"`
}

// endJSON is one end. Ends stand in the order they hang in, and Number counts
// them in their panel.
type endJSON struct {
	Panel  string      `json:"panel"`
	Number int         `json:"number"`
	Cord   string      `json:"cord"`
	Side   string      `json:"side"` // of the folded cord; "single" when it is not folded
	Need   millimetres `json:"need_mm"`
	Parts  partsJSON   `json:"parts"`
}

type partsJSON struct {
	Mount  millimetres `json:"mount"`
	Run    millimetres `json:"run"`
	TakeUp millimetres `json:"takeup"`
	Tail   millimetres `json:"tail"`
}

type panelJSON struct {
	Name  string         `json:"name"`
	Width millimetres    `json:"width_mm"`
	Drop  millimetres    `json:"drop_mm"`
	Knots map[string]int `json:"knots"`
}

type totalJSON struct {
	Cord   string      `json:"cord"`
	Length millimetres `json:"length_mm"`
	Mass   float64     `json:"mass_g"`
	Spools *int        `json:"spools"`
	Cost   *money      `json:"cost"`
}

type faultJSON struct {
	Line   int    `json:"line"`
	Column int    `json:"column"`
	Text   string `json:"text"`
}

// millimetres is a length written in millimetres, to the micrometre.
type millimetres length.Length

// MarshalJSON implements json.Marshaler.
func (m millimetres) MarshalJSON() ([]byte, error) {
	const micrometre = length.Millimetre / 1000
	return json.Marshal(length.Length(m).RoundHalfEven(micrometre).Millimetres())
}

// money is a price in hundredths, written in whole units.
type money int64

// MarshalJSON implements json.Marshaler.
func (m money) MarshalJSON() ([]byte, error) { return json.Marshal(float64(m) / 100) }

// inJSON is a sized sheet, or the faults that were found instead.
func inJSON(sized sizing.Sized, faults sheet.Faults) sizeJSON {
	out := sizeJSON{
		Piece: sized.Sheet.Piece,
		Cuts:  []cutJSON{}, Ends: []endJSON{}, Panels: []panelJSON{}, Totals: []totalJSON{}, Faults: []faultJSON{},
	}
	for _, f := range faults.Shown {
		out.Faults = append(out.Faults, faultJSON{f.Place.Line, f.Column, f.Text})
	}
	for _, c := range sized.List.Cuts {
		cut := cutJSON{Label: c.Label, Count: c.Count, Length: millimetres(c.Length), Cord: sized.Cords[c.Cord].Name, For: c.For}
		if c.Folded {
			fold := millimetres(c.Fold)
			if c.Fold == 0 {
				fold = millimetres(c.Length / 2)
			}
			cut.Fold = &fold
		}
		out.Cuts = append(out.Cuts, cut)
	}
	for _, e := range sized.Ends {
		out.Ends = append(out.Ends, sizedEnd(sized, e))
	}
	for _, p := range sized.Panels {
		out.Panels = append(out.Panels, panelJSON{p.Name, millimetres(p.Width), millimetres(p.Drop), p.Knots})
	}
	for _, t := range sized.List.Totals {
		total := totalJSON{Cord: sized.Cords[t.Cord].Name, Length: millimetres(t.Length), Mass: math.Round(t.Mass.Grams()*10) / 10}
		if t.Spools > 0 {
			total.Spools = &t.Spools
		}
		if t.Cost > 0 {
			cost := money(t.Cost)
			total.Cost = &cost
		}
		out.Totals = append(out.Totals, total)
	}
	return out
}

func sizedEnd(sized sizing.Sized, e trace.End) endJSON {
	strand := sized.Strands[e.Strand]
	side := e.Side.String()
	if len(strand.Ends) == 1 {
		side = "single"
	}
	return endJSON{
		Panel: sized.Panels[e.Panel].Name, Number: e.Number, Cord: sized.Cords[strand.Cord].Name, Side: side, Need: millimetres(e.Total()),
		Parts: partsJSON{millimetres(e.Mount), millimetres(e.Run), millimetres(e.TakeUp), millimetres(e.Tail)},
	}
}
