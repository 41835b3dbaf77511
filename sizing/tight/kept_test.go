package tight

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

//go:embed kept.csv
var kept string

// Kept returns the rows that the fine settings gave, as they are kept with the package.
func Kept() ([]Row, error) {
	t, err := Read(strings.NewReader(kept))
	if err != nil {
		return nil, fmt.Errorf("the kept table: %w", err)
	}
	return t.Rows, nil
}

// Read reads a table that Write wrote.
func Read(r io.Reader) (Table, error) {
	text, err := io.ReadAll(r)
	if err != nil {
		return Table{}, err
	}
	var t Table
	rest := string(text)
	for _, line := range []struct {
		prefix string
		into   *string
	}{{madePrefix, &t.Made}, {settingsPrefix, &t.Settings}} {
		first, after, _ := strings.Cut(rest, "\n")
		value, ok := strings.CutPrefix(first, line.prefix)
		if !ok {
			return Table{}, fmt.Errorf("a line reads “%s”; it must begin with “%s”", first, line.prefix)
		}
		*line.into, rest = value, after
	}
	records, err := csv.NewReader(strings.NewReader(rest)).ReadAll()
	if err != nil {
		return Table{}, err
	}
	if len(records) == 0 || strings.Join(records[0], ",") != strings.Join(header, ",") {
		return Table{}, fmt.Errorf("the columns must be %s", strings.Join(header, ", "))
	}
	for i, record := range records[1:] {
		row, err := readRow(record)
		if err != nil {
			return Table{}, fmt.Errorf("row %d: %w", i+1, err)
		}
		t.Rows = append(t.Rows, row)
	}
	return t, nil
}

func readRow(f []string) (Row, error) {
	var problem error
	number := func(i int) float64 {
		if f[i] == "" {
			return 0
		}
		v, err := strconv.ParseFloat(f[i], 64)
		if (err != nil || math.IsNaN(v) || math.IsInf(v, 0)) && problem == nil {
			problem = fmt.Errorf("%s is “%s”; it must be a number", header[i], f[i])
		}
		return v
	}
	length := func(i int) Diameters { return Diameters(number(i)) }
	r := Row{
		Knot: f[0], Quantity: f[1],
		Cores: int(number(2)), Rod: length(3), Ends: int(number(4)), Tension: number(5),
		Pitch: length(6), PitchFound: f[7] == "yes", Twist: Degrees(number(8)),
		Length: length(9), Error: length(10), Width: length(11), Depth: length(12), Edge: length(13),
		Expected: length(14), Difference: number(15), Source: f[16],
	}
	return r, problem
}
