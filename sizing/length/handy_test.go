package length_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/length"
)

// What shops and tapes have near a metric sample (sizes of dowels, cords and coils:
// common practice, no source).
func TestHandy(t *testing.T) {
	for text, want := range map[string]string{
		"4 mm": "5/32 in", "4mm": "5/32in", "3 mm": "1/8 in", "5 mm": "3/16 in", "6 mm": "1/4 in", "2mm": "3/32in", "10 mm": "3/8 in",
		"20 mm": "3/4 in", "25mm": "1in", "30 mm": "1 1/8 in", "30mm": "1.125in",
		"3cm": "1.25in", "3 cm": "1 1/4 in", "7.5cm": "3in", "15 cm": "6 in", "22cm": "9in", "40cm": "16in", "60 cm": "24 in", "100cm": "39in",
		"1.2m": "4ft", "3.2 m": "10 ft", "60m": "65yd", "100 m": "110 yd", "50m": "55yd",
		"100 g": "4 oz", "900g": "2lb", "1.6 kg": "4 lb",
		"such as 40cm or 16in": "such as 16in", "20 mm or 3/4 in if left out": "3/4 in if left out", "3 cm or 1 1/4 in": "1 1/4 in", "45 cm or 1 1/2 ft": "1 1/2 ft", "100 m or 110 yd": "110 yd", "900 g or 2 lb": "2 lb",
		`/shelf add pieces:"45cm x12, 1.2m x3, 2 spools 100m" cord:"4 mm single-strand"`: `/shelf add pieces:"18in x12, 4ft x3, 2 spools 110yd" cord:"5/32 in single-strand"`,
		"/cord width:40cm drop:70cm thickness:4mm":                                       "/cord width:16in drop:28in thickness:5/32in",
		"60cm x 20mm": "24in x 3/4in", "4.5 g/m, 220 m/kg or 5000 tex": "4.5 g/m, 220 m/kg or 5000 tex", "3/16 in": "3/16 in", "12 mounts": "12 mounts", "v1.2m": "v1.2m", "": "",
	} {
		require.Equal(t, want, length.Handy(text), text)
	}
}
