package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"larkfold/cmd/larkfold/terminal"
	"larkfold/commands/reply"
	"larkfold/sizing/length"
	"larkfold/sizing/stock"

	"github.com/spf13/cobra"
)

const packExample = `{"stock": [{"length_mm": 100000, "price": 24}, {"length_mm": 3500, "count": 2, "price": 0}],
 "pieces": [{"length_mm": 3200, "count": 12}, {"length_mm": 550, "count": 40}]}`

// packForm is the shape of the answer in JSON.
const packForm = `{"used","length_mm","cost","lower_bound","proved",
 "patterns":[{"stock_mm","times","pieces":[...]}],"seconds"}

length_mm is the new cord bought; lower_bound is a cost when every stock has a price and
millimetres otherwise; what cannot be cut is listed in "unplaced", with exit status 1.`

func packCommand() *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "pack FILE",
		Short: "Solve one cutting instance",
		Long: "Reads lengths at hand and pieces wanted as JSON (- for standard input) and says which\n" +
			"piece to cut from which. Without a count there is no limit; without a price it is not\n" +
			"known; a price of 0 means an offcut that is there already and goes first. The prices\n" +
			"are made least where every length has one, else the new cord. \"seconds\" limits the\n" +
			"time for the search, 0.001 to 86400, 5 without it; an interrupt ends it with the best\n" +
			"plan so far. At most 20,000 pieces, 5,000 lines of stock and 10 km a length are taken;\n" +
			"more than 1,200 different lengths are cut by quick rules, with a bound but seldom a\n" +
			"proof.\n\n" + packExample + "\n\nWith --json it prints\n\n" + packForm,
		Args: cobra.ExactArgs(1),
		RunE: running(func(cmd *cobra.Command, args []string) error {
			text, err := readInput(cmd.InOrStdin(), args[0])
			if err != nil {
				return err
			}
			problem, budget, err := readInstance(text)
			if err != nil {
				return err
			}
			ctx, stop := untilStopped(cmd.Context())
			defer stop()
			if budget > 0 {
				var cancel context.CancelFunc
				ctx, cancel = context.WithTimeout(ctx, budget)
				defer cancel()
			}
			start := time.Now()
			plan, err := stock.Solve(ctx, problem)
			if err != nil {
				return badInput{err.Error()}
			}
			if asJSON {
				err = writeJSON(cmd.OutOrStdout(), packed(plan, time.Since(start)))
			} else {
				err = terminal.Show(cmd.OutOrStdout(), packBlocks(plan))
			}
			if err == nil && len(plan.Unplaced) > 0 {
				return badInput{fmt.Sprintf("the lengths at hand cannot give every piece: %s of cord are missing", plan.Short)}
			}
			return err
		}),
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON for scripts")
	return cmd
}

// instanceJSON is what pack reads.
type instanceJSON struct {
	Stock []struct {
		Length *float64 `json:"length_mm"`
		Count  *int     `json:"count"`
		Price  *float64 `json:"price"`
	} `json:"stock"`
	Pieces []struct {
		Length *float64 `json:"length_mm"`
		Count  *int     `json:"count"`
	} `json:"pieces"`
	Seconds *float64 `json:"seconds"`
}

// planJSON is what pack prints. LowerBound is what no plan can go below: of cost
// where every length has a price, else of length_mm.
type planJSON struct {
	Used       int           `json:"used"`
	Length     millimetres   `json:"length_mm"`
	Cost       money         `json:"cost"`
	LowerBound float64       `json:"lower_bound"`
	Proved     bool          `json:"proved"`
	Patterns   []patternJSON `json:"patterns"`
	Unplaced   []wantedJSON  `json:"unplaced,omitempty"`
	Seconds    float64       `json:"seconds"`
}

type patternJSON struct {
	Stock  millimetres   `json:"stock_mm"`
	Times  int           `json:"times"`
	Pieces []millimetres `json:"pieces"`
}

type wantedJSON struct {
	Length millimetres `json:"length_mm"`
	Count  int         `json:"count"`
}

// The limits of "seconds".
const (
	shortestSearch = time.Millisecond
	longestSearch  = 24 * time.Hour
)

// readInstance reads an instance and its time budget, zero when silent.
func readInstance(text string) (stock.Problem, time.Duration, error) {
	var p stock.Problem
	var in instanceJSON
	if err := decodeStrictly(text, &in); err != nil {
		return p, 0, err
	}
	if len(in.Stock) == 0 {
		return p, 0, badInput{`"stock" is empty: give the lengths at hand, such as {"length_mm": 100000}`}
	}
	if len(in.Pieces) == 0 {
		return p, 0, badInput{`"pieces" is empty: give what to cut, such as {"length_mm": 3200, "count": 12}`}
	}
	for i, s := range in.Stock {
		where := fmt.Sprintf("stock %d", i+1)
		l, err := readMillimetres(where, s.Length)
		if err != nil {
			return p, 0, err
		}
		line := stock.Stock{Length: l, Label: where}
		if s.Price != nil {
			cents := math.Round(*s.Price * 100)
			if *s.Price < 0 || cents > stock.MaxPrice || math.Abs(cents-*s.Price*100) > 1e-6 {
				return p, 0, badInput{fmt.Sprintf(`%s: "price" %v is no price: give from 0 to %v with at most two decimals`, where, *s.Price, stock.MaxPrice/100)}
			}
			line.Price, line.Offcut = stock.Price(cents), cents == 0
		}
		switch {
		case s.Count == nil && line.Offcut:
			return p, 0, badInput{where + `: an offcut (price 0) needs a "count"`}
		case s.Count == nil:
		case *s.Count < 0:
			return p, 0, badInput{fmt.Sprintf(`%s: "count" %d is less than none: leave it out for no limit`, where, *s.Count)}
		case *s.Count == 0:
			continue
		default:
			line.Count = *s.Count
		}
		p.Stock = append(p.Stock, line)
	}
	if len(p.Stock) == 0 {
		return p, 0, badInput{`every "count" in "stock" is 0: there is nothing to cut from`}
	}
	for i, want := range in.Pieces {
		where := fmt.Sprintf("piece %d", i+1)
		l, err := readMillimetres(where, want.Length)
		if err != nil {
			return p, 0, err
		}
		if want.Count == nil || *want.Count < 1 {
			return p, 0, badInput{where + `: "count" must say how many, 1 or more`}
		}
		p.Pieces = append(p.Pieces, stock.Piece{Length: l, Count: *want.Count, Label: where})
	}
	if in.Seconds == nil {
		return p, 0, nil
	}
	if *in.Seconds < shortestSearch.Seconds() || *in.Seconds > longestSearch.Seconds() {
		return p, 0, badInput{fmt.Sprintf(`"seconds" %v is no time for a search: give from %v to %v, or leave it out for %v`,
			*in.Seconds, shortestSearch.Seconds(), longestSearch.Seconds(), stock.Patience.Seconds())}
	}
	return p, time.Duration(*in.Seconds * float64(time.Second)), nil
}

func readMillimetres(where string, mm *float64) (length.Length, error) {
	switch {
	case mm == nil:
		return 0, badInput{where + `: "length_mm" is missing: give a length in millimetres`}
	case *mm <= 0 || *mm > stock.MaxLength.Millimetres():
		return 0, badInput{fmt.Sprintf(`%s: "length_mm" %v is no length to cut: give more than 0, at most %.0f`, where, *mm, stock.MaxLength.Millimetres())}
	}
	return length.Length(math.Round(*mm * float64(length.Millimetre))), nil
}

// decodeStrictly reads one JSON value and refuses what it does not know, with the
// line and column.
func decodeStrictly(text string, into any) error {
	d := json.NewDecoder(strings.NewReader(text))
	d.DisallowUnknownFields()
	err := d.Decode(into)
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		return badInput{at(text, syntax.Offset) + ": " + plainSyntax(syntax) + "; right would be\n" + packExample}
	case errors.As(err, &kind):
		return badInput{fmt.Sprintf("%s: “%s” cannot be a %s; right would be\n%s", at(text, kind.Offset), kind.Field, kind.Value, packExample)}
	case errors.Is(err, io.EOF):
		return badInput{"there is nothing to read; right would be\n" + packExample}
	case errors.Is(err, io.ErrUnexpectedEOF):
		return badInput{at(text, int64(len(text))) + ": the text ends too early; right would be\n" + packExample}
	case err != nil:
		name, _ := strings.CutPrefix(err.Error(), "json: unknown field ")
		return badInput{fmt.Sprintf("%s: the field %s is not known; right would be\n%s", at(text, fieldOffset(text, name)), name, packExample)}
	}
	if rest := strings.TrimSpace(text[d.InputOffset():]); rest != "" {
		return badInput{at(text, d.InputOffset()+1) + ": something follows the end; right would be\n" + packExample}
	}
	return nil
}

func plainSyntax(err *json.SyntaxError) string {
	return "this is no JSON, " + strings.TrimPrefix(err.Error(), "json: ")
}

// fieldOffset finds a field's name, quoted as JSON has it, in a text.
func fieldOffset(text, quoted string) int64 {
	return int64(max(0, strings.Index(text, quoted)) + 1)
}

// at names the line and column of the byte before an offset.
func at(text string, offset int64) string {
	before := []byte(text)[:max(0, min(int(offset)-1, len(text)))]
	line := bytes.Count(before, []byte("\n")) + 1
	column := len([]rune(string(before[bytes.LastIndexByte(before, '\n')+1:]))) + 1
	return fmt.Sprintf("line %d, column %d", line, column)
}

func packed(plan stock.Plan, took time.Duration) planJSON {
	out := planJSON{
		Used: plan.Strips, Length: millimetres(plan.NewCord), Cost: money(plan.Cost), Proved: plan.Proved,
		Patterns: []patternJSON{}, Seconds: math.Round(took.Seconds()*1000) / 1000,
		LowerBound: plan.Bound.NewCord.Millimetres(),
	}
	if plan.Goal == stock.LeastCost {
		out.LowerBound = float64(plan.Bound.Cost) / 100
	}
	for _, p := range plan.Patterns {
		pieces := make([]millimetres, len(p.Cuts))
		for i, c := range p.Cuts {
			pieces[i] = millimetres(c.Length)
		}
		out.Patterns = append(out.Patterns, patternJSON{millimetres(p.Length), p.Times, pieces})
	}
	for _, s := range plan.Unplaced {
		out.Unplaced = append(out.Unplaced, wantedJSON{millimetres(s.Length), s.Count})
	}
	return out
}

// packBlocks is a plan for reading.
func packBlocks(plan stock.Plan) []reply.Block {
	style := length.Style{}
	t := reply.Table{Columns: []reply.Column{{Title: "times", Right: true}, {Title: "from", Right: true}, {}, {Title: "cut"}, {Title: "left", Right: true}}}
	for _, p := range plan.Patterns {
		kind := "new"
		if p.Offcut {
			kind = "offcut"
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(p.Times), style.Format(p.Length), kind, cutWords(p.Cuts), style.Format(p.Remainder)})
	}
	facts := []reply.Fact{{Label: "new cord", Value: style.Format(plan.NewCord)}}
	if plan.Cost > 0 {
		facts = append(facts, reply.Fact{Label: "cost", Value: plan.Cost.String()})
	}
	proof := "no plan is better"
	if !plan.Proved {
		proof = fmt.Sprintf("at most %.2g %% above the best there can be", 100*plan.Gap())
	}
	facts = append(facts, reply.Fact{Label: "proved", Value: proof})
	for _, s := range plan.Unplaced {
		facts = append(facts, reply.Fact{Label: "missing", Value: fmt.Sprintf("%d x %s", s.Count, style.Cut(s.Length))})
	}
	return []reply.Block{t, reply.Facts(facts)}
}

// cutWords lists the pieces of a pattern, equal ones together.
func cutWords(cuts []stock.Cut) string {
	var words []string
	for i := 0; i < len(cuts); {
		n := 1
		for i+n < len(cuts) && cuts[i+n].Length == cuts[i].Length {
			n++
		}
		words = append(words, fmt.Sprintf("%d x %s", n, length.Style{}.Cut(cuts[i].Length)))
		i += n
	}
	return strings.Join(words, " + ")
}
