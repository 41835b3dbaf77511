package slip_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
)

// A measure of which nobody said what it is goes to the option that it may be: cord is
// up to 12 mm thick, a dowel up to 150 mm, a spool holds 10 m or more.
func TestMeasuresWithoutANameAreToldApart(t *testing.T) {
	a := commandstest.Quick(t)
	for line, want := range map[string]string{
		"/cord 40cm 70cm 12mm":           "/cord width:40cm drop:70cm thickness:12mm",
		"/cord 40cm 70cm 13mm":           "/cord width:40cm drop:70cm tail:13mm",
		"/cord 40cm 70cm 20cm 15cm":      "/cord width:40cm drop:70cm tail:20cm dowel:15cm",
		"/cord 40cm 70cm 20cm 20mm":      "/cord width:40cm drop:70cm tail:20cm dowel:20mm",
		"/cord 40cm 70cm 20cm 151mm":     "/cord width:40cm drop:70cm tail:20cm",
		"/cord 40cm 70cm 20cm 10m":       "/cord width:40cm drop:70cm tail:20cm spool:10m",
		"/cord 40cm 70cm 20cm 9.9m":      "/cord width:40cm drop:70cm tail:20cm",
		"/cord width 40cm drop 70cm net": "/cord width:40cm drop:70cm knotwork:net",
		"/show project \"Tide Line\"":    "/project show name:\"Tide Line\"",
		"width:40cm drop:70cm":           "/cord width:40cm drop:70cm",
		"40cm x 70cm":                    "/cord width:40cm drop:70cm",
		"xyzzy":                          "",
	} {
		require.Equal(t, want, a.Slips.Meant(line), line)
	}
}
