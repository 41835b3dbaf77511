package tight

import (
	_ "embed"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
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
