// Package testdata holds the demo designs for the program too, so that there is one
// copy of each: what the tests size is what members are offered to try.
package testdata

import "embed"

// Sheets are the demo designs, a working sheet each, under sheets/.
//
//go:embed sheets/*.sheet
var Sheets embed.FS
