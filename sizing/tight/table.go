package tight

import (
	_ "embed"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// Degrees is an angle in degrees.
type Degrees float64

// Row is one derived length with what it holds for and what it was compared with.
// A field that does not apply is zero.
type Row struct {
	Knot       string    // one of Names
	Quantity   string    // whose length this is
	Cores      int       // cords that lie together in the core: fillers, or the carried bundle
	Rod        Diameters // diameter of a single straight round core
	Ends       int       // cords tied together
	Tension    float64   // of fillers or carrier, in tensions of the working cord; zero: held straight
	Pitch      Diameters // the advance the length pays for
	PitchFound bool      // the pitch was left free and found, not set
	Twist      Degrees   // of each period of a spiral, beyond half turns, anticlockwise seen against z
	Length     Diameters
	Error      Diameters // estimated numerical error of Length, at this minimum
	Width      Diameters // cord thickness included
	Depth      Diameters
	Edge       Diameters // of the finest polyline
	Expected   Diameters // by the closed form, or as published
	Difference float64   // Length/Expected - 1
	Source     string    // of Expected
}

// Table is a set of derived rows with the settings and the date of their making.
type Table struct {
	Made     string // a date, as the caller writes it
	Settings string
	Rows     []Row
}

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

var header = []string{
	"knot", "quantity", "cores", "rod", "ends", "tension", "pitch", "pitch found", "twist",
	"length", "error", "width", "depth", "edge", "expected", "difference", "source",
}

const (
	madePrefix     = "# made "
	settingsPrefix = "# settings "
)

// Write writes the table as comma-separated values under two lines of comment.
func (t Table) Write(w io.Writer) error {
	if strings.ContainsAny(t.Made+t.Settings, "\r\n") {
		return errors.New("the date and the settings must each be one line")
	}
	if _, err := fmt.Fprintf(w, "%s%s\n%s%s\n", madePrefix, t.Made, settingsPrefix, t.Settings); err != nil {
		return err
	}
	c := csv.NewWriter(w)
	if err := c.Write(header); err != nil {
		return err
	}
	for _, r := range t.Rows {
		if err := c.Write(r.fields()); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

func (r Row) fields() []string {
	number := func(v float64, places int) string {
		if v == 0 {
			return ""
		}
		return strconv.FormatFloat(v, 'f', places, 64)
	}
	exact := func(v float64) string {
		if v == 0 {
			return ""
		}
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	count := func(n int) string { return exact(float64(n)) }
	found, pitch := "", exact(float64(r.Pitch))
	if r.PitchFound {
		found, pitch = "yes", number(float64(r.Pitch), 3)
	}
	return []string{
		r.Knot, r.Quantity, count(r.Cores), exact(float64(r.Rod)), count(r.Ends), exact(r.Tension),
		pitch, found, number(float64(r.Twist), 1),
		number(float64(r.Length), 4), number(float64(r.Error), 4),
		number(float64(r.Width), 2), number(float64(r.Depth), 2), number(float64(r.Edge), 3),
		number(float64(r.Expected), 4), number(r.Difference, 4), r.Source,
	}
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
