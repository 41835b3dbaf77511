package formula

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/sebdah/goldie/v2"
	"github.com/stretchr/testify/require"
)

// refused holds formulas that must not compile, with the kind of fault and the
// column of the caret; testdata/refused.golden holds the exact messages.
var refused = []struct {
	source string
	use    Use
	kind   Kind
	column int
}{
	// not a formula
	{"", KnotRole, Syntax, 1},
	{"  ", KnotRole, Syntax, 1},
	{"d +", KnotRole, Syntax, 3},
	{"* d", KnotRole, Syntax, 1},
	{"d * / 2", KnotRole, Syntax, 5},
	{"d // 2", KnotRole, Syntax, 4},
	{"d /* 2 */", KnotRole, Syntax, 4},
	{"- -d", KnotRole, Syntax, 1},
	{"turn(k", KnotRole, Syntax, 5},
	{"(d + c))", KnotRole, Syntax, 8},
	{"turn()", KnotRole, Syntax, 1},
	{"() * d", KnotRole, Syntax, 1},
	{"turn * d", KnotRole, Syntax, 1},
	{"2 turn", KnotRole, Syntax, 3},
	{"turn(k, 2)", KnotRole, Syntax, 1},
	{"turn(1,5)", KnotRole, Syntax, 1},
	{"max(d)", KnotRole, Syntax, 1},
	{"min(d,d,d,d,d,d,d,d,d)", KnotRole, Syntax, 1},
	{"pow(k)*d", KnotRole, Syntax, 1},
	{"hypot(d, c, D)", KnotRole, Syntax, 1},
	{"max(d,,c)", KnotRole, Syntax, 7},
	{"1,5*d", KnotRole, Syntax, 2},
	{"d, c", KnotRole, Syntax, 2},
	{"(d, c)", KnotRole, Syntax, 3},
	{"k d", KnotRole, Syntax, 1},
	{"2 pi d", KnotRole, Syntax, 3},
	{"2(d + c)", KnotRole, Syntax, 1},
	{"(d + c)2", KnotRole, Syntax, 7},
	{"(d)(k)", KnotRole, Syntax, 3},
	{"d(4)", KnotRole, Syntax, 1},
	{"4 1/2 inch", KnotRole, Syntax, 1},
	{"4 ft 6 inch", KnotRole, Syntax, 3},
	{"1 000 mm", KnotRole, Syntax, 1},
	{"12*d / 2 cm", KnotRole, Syntax, 6},
	{"d * 2^3 k", KnotRole, Syntax, 6},
	{"d/3/4 k", KnotRole, Syntax, 4},
	// words and characters
	{"17 x d", KnotRole, Unknown, 4},
	{"4*K*d", KnotRole, Unknown, 3},
	{"Turn(k)", KnotRole, Unknown, 1},
	{"5 MM + d", KnotRole, Unknown, 3},
	{"d2", KnotRole, Unknown, 1},
	{"2m30", KnotRole, Unknown, 2},
	{"3 inches + d", KnotRole, Unknown, 3},
	{"3 feet", KnotRole, Unknown, 3},
	{"d in", KnotRole, Unknown, 3},
	{"kd", KnotRole, Unknown, 1},
	{"sqr(k)*d", KnotRole, Unknown, 1},
	{"ptich + d", KnotRole, Unknown, 1},
	{"floor(k)*d", KnotRole, Unknown, 1},
	{"abs(d - c)", KnotRole, Unknown, 1},
	{"sin(k)*d", KnotRole, Unknown, 1},
	{"cord * 17", KnotRole, Unknown, 1},
	{"4 * finished", KnotRole, Unknown, 5},
	{"turn(4)", Rule, Unknown, 1},
	{"length * 4", Rule, Unknown, 1},
	{"k * finished", Rule, Unknown, 1},
	{"pneumonoultramicroscopicsilicovolcanoconiosis", Rule, Unknown, 1},
	{"d % 2", KnotRole, Unknown, 3},
	{"d = 17", KnotRole, Unknown, 3},
	{"d > c ? d : c", KnotRole, Unknown, 3},
	{"[d, c]", KnotRole, Unknown, 1},
	{"{d}", KnotRole, Unknown, 1},
	{"d..c", KnotRole, Unknown, 2},
	{"1..9", KnotRole, Unknown, 2},
	{"d.x", KnotRole, Unknown, 2},
	{"5.*d", KnotRole, Unknown, 2},
	{`"d"`, KnotRole, Unknown, 1},
	{"4'6", KnotRole, Unknown, 2},
	{"d; c", KnotRole, Unknown, 2},
	{"d | max(c)", KnotRole, Unknown, 3},
	{"::max(d, c)", KnotRole, Unknown, 1},
	{"#", KnotRole, Unknown, 1},
	{"$env", KnotRole, Unknown, 1},
	{"let x = d; x", KnotRole, Unknown, 1},
	{"if k > 2 {d} else {c}", KnotRole, Unknown, 1},
	{"not d", KnotRole, Unknown, 1},
	{"true", KnotRole, Unknown, 1},
	{"nil", KnotRole, Unknown, 1},
	{"map([d], #)", KnotRole, Unknown, 1},
	{"0x11*d", KnotRole, Unknown, 2},
	{"1e3*d", KnotRole, Unknown, 2},
	{"1_000*mm", KnotRole, Unknown, 2},
	// look-alikes
	{"2*с", KnotRole, Unknown, 3},
	{"2*к*d", KnotRole, Unknown, 3},
	{"κ*d", KnotRole, Unknown, 1},
	{"tυrn(k)", KnotRole, Unknown, 2},
	{"turп(k)", KnotRole, Unknown, 4},
	{"１７*d", KnotRole, Unknown, 1},
	{"١٧*d", KnotRole, Unknown, 1},
	{"½ inch", KnotRole, Unknown, 1},
	{"k²*d", KnotRole, Unknown, 2},
	{"√k*d", KnotRole, Unknown, 1},
	{"17ø", KnotRole, Unknown, 3},
	{"d — c", KnotRole, Unknown, 3},
	{"17*d\u200b", KnotRole, Unknown, 5},
	{"\u202e17*d", KnotRole, Unknown, 1},
	{"17*d\xff", KnotRole, Unknown, 5},
	{"17*\x00d", KnotRole, Unknown, 4},
	{"🧶*d", KnotRole, Unknown, 1},
	{"繩*с", KnotRole, Unknown, 1},
	// lengths and numbers
	{"17", KnotRole, Dimension, 1},
	{"4", Rule, Dimension, 1},
	{"4 + d", KnotRole, Dimension, 1},
	{"2*d + 17", KnotRole, Dimension, 7},
	{"2*d + k*3", KnotRole, Dimension, 7},
	{"k", KnotRole, Dimension, 1},
	{"0", KnotRole, Dimension, 1},
	{"pi", KnotRole, Dimension, 1},
	{"4*k", KnotRole, Dimension, 1},
	{"d/c", KnotRole, Dimension, 1},
	{"d*d", KnotRole, Dimension, 2},
	{"d*pitch + 4*d", KnotRole, Dimension, 2},
	{"d*d*d", KnotRole, Dimension, 4},
	{"1/d", KnotRole, Dimension, 2},
	{"d^2", KnotRole, Dimension, 2},
	{"d^3", KnotRole, Dimension, 2},
	{"d^0.5", KnotRole, Dimension, 2},
	{"(d*d)^2", KnotRole, Dimension, 6},
	{"2^d*d", KnotRole, Dimension, 3},
	{"sqrt(d)", KnotRole, Dimension, 6},
	{"turn(d)", KnotRole, Dimension, 6},
	{"loop(4)", KnotRole, Dimension, 6},
	{"ceil(d)", KnotRole, Dimension, 6},
	{"hypot(d, 4)", KnotRole, Dimension, 10},
	{"max(4, d)", KnotRole, Dimension, 5},
	{"max(1,5 d)", KnotRole, Dimension, 5},
	{"max(0, d, 4)", KnotRole, Dimension, 11},
	{"max(d, d*c)", KnotRole, Dimension, 9},
	{"k + d*c", KnotRole, Dimension, 1},
	{"4*finished + 10", Rule, Dimension, 14},
	{"width*drop", Rule, Dimension, 6},
	// answers that no cord can have
	{"0*d", KnotRole, Dimension, 1},
	{"-d", KnotRole, Implausible, 1},
	{"d - c", KnotRole, Implausible, 1},
	{"d - pitch", KnotSize, Implausible, 1},
	{"d/0", KnotRole, Implausible, 2},
	{"d/(k - 1)", KnotRole, Implausible, 2},
	{"d/(c - d)", KnotRole, Dimension, 1},
	{"d*d/(c - d)", KnotRole, Implausible, 4},
	{"sqrt(k - 2)*d", KnotRole, Implausible, 1},
	{"(k - 2)^0.5*d", KnotRole, Implausible, 8},
	{"turn(k - 1)", KnotRole, Implausible, 1},
	{"bundle(n - 1)", KnotRole, Implausible, 1},
	{"9^9^9*d", KnotRole, Implausible, 2},
	{"401*d", KnotRole, Implausible, 1},
	{"17 m", KnotRole, Implausible, 1},
	{"99999999*d", KnotRole, Implausible, 1},
	{"17*D", KnotRole, Implausible, 4},
	{"finished - 10 cm", Rule, Implausible, 1},
	{"4*drop - width", Rule, Implausible, 1},
	{"400*finished", Rule, Implausible, 1},
	{strings.Repeat("d+", 200) + "d", KnotRole, TooLong, 401},
	{strings.Repeat("d+", 70) + "d", KnotRole, TooLong, 21},
}

func TestRefused(t *testing.T) {
	var text strings.Builder
	for _, tt := range refused {
		_, err := Compile(tt.source, tt.use)
		var fault *Fault
		require.ErrorAs(t, err, &fault, "%q", tt.source)
		require.Equal(t, tt.kind, fault.Kind, "%q: %v", tt.source, fault)
		require.Equal(t, tt.column, fault.Column, "%q: %v", tt.source, fault)
		wellFormed(t, fault)
		fmt.Fprintf(&text, "%v\n\n", err)
	}
	goldie.New(t).Assert(t, "refused", []byte(text.String()))
}

// mistakes are what members will really type; the golden file shows that each
// answer leads to the right formula.
var mistakes = []struct {
	source string
	use    Use
}{
	{"17", KnotRole},
	{"4 + d", KnotRole},
	{"17 x d", KnotRole},
	{"2,5 * d", KnotRole},
	{"turn(k) + 4", KnotRole},
	{"turn(K) + 4*d", KnotRole},
	{"2(turn(k) + d)", KnotRole},
	{"4.5 * length", Rule},
	{"finished * 4 = cut", Rule},
	{"drop x 4", Rule},
	{"(finished * 4 + 10 cm", Rule},
	{"finished * 108%", Rule},
}

func TestMistakes(t *testing.T) {
	var text strings.Builder
	for _, tt := range mistakes {
		_, err := Compile(tt.source, tt.use)
		require.Error(t, err, tt.source)
		fmt.Fprintf(&text, "%v\n\n", err)
	}
	goldie.New(t).Assert(t, "mistakes", []byte(text.String()))
}

// What was likely meant stands in the wrong place and nothing else is changed; where two
// things may be meant, or none suggests itself, there is nothing.
func TestLikelyFormula(t *testing.T) {
	for _, tt := range []struct {
		source, likely string
		use            Use
	}{
		{"7*finised + 20 cm", "7*finished + 20 cm", Rule},
		{"4.5 x finished", "4.5 * finished", Rule},
		{"4*Length + 30 cm", "4*finished + 30 cm", Rule},
		{"4,5*finished", "4.5*finished", Rule},
		{"finished + 1,000 mm", "", Rule}, // a thousand, or one
		{"finished + 1,00 mm", "finished + 1.00 mm", Rule},
		{"4*finished + 30 cm)", "4*finished + 30 cm", Rule},
		{"4*finished + 1 ft 6 in", "4*finished + 1 ft + 6 in", Rule},
		{"turn(K) + 4*d", "turn(k) + 4*d", KnotRole},
		{"4 1/2*finished", "", Rule},
		{"2 m30 + finished", "", Rule},
		{"4*zzzzzz", "", Rule},
		{"4*turn", "", Rule},
	} {
		_, err := Compile(tt.source, tt.use)
		var fault *Fault
		require.ErrorAs(t, err, &fault, tt.source)
		require.Equal(t, tt.likely, fault.Likely, "%s: %v", tt.source, err)
		if tt.likely != "" {
			_, err := Compile(tt.likely, tt.use)
			require.NoError(t, err, tt.likely)
		}
	}
}

// wellFormed checks what every fault promises.
func wellFormed(t require.TestingT, fault *Fault) {
	text := fault.Error()
	lines := strings.Split(text, "\n")
	require.Len(t, lines, 4, text)
	require.Contains(t, lines[2], "^", text)
	require.True(t, utf8.ValidString(text), "%q", text)
	require.GreaterOrEqual(t, fault.Column, 1)
	require.LessOrEqual(t, fault.Column, len([]rune(fault.Source))+1)
	require.Less(t, len(text), 1000, "a fault must fit into a chat")
	require.NotContains(t, text, "unexpected token", "the parser's own words")
}

// hostile holds what somebody might send to break the bot.
func hostile() map[string]string {
	return map[string]string{
		"brackets":        strings.Repeat("(", 399),
		"closed brackets": strings.Repeat("(", 199) + "d" + strings.Repeat(")", 199),
		"calls":           strings.Repeat("max(d,", 66) + "d",
		"signs":           strings.Repeat("-", 399) + "d",
		"spaced signs":    strings.Repeat("- ", 198) + "d",
		"power tower":     "d*9^9^9^9^9^9^9^9^9^9",
		"powers":          "(c+D+pitch+mm+d)*min(2,k^n" + strings.Repeat("+k^n^0.01", 10) + ")",
		"long sum":        strings.Repeat("d+", 199) + "d",
		"megabyte":        strings.Repeat("d+", 500_000) + "d",
		"wide megabyte":   strings.Repeat("界", 400_000),
		"digits":          strings.Repeat("9", 399) + "*d",
		"decimals":        "0." + strings.Repeat("9", 390) + "*d",
		"word":            strings.Repeat("a", 399),
		"spaces":          strings.Repeat(" ", 500_000) + "x",
		"range":           "1..1000000000",
		"repeat":          `repeat("d", 1000000000)`,
		"closure":         "map(1..1000000, {map(1..1000000, {#})})",
		"let":             "let a = d; let b = a+a; b+b",
		"zero by zero":    "d*(k-k)/(k-k)",
		"root":            "sqrt(-k)*d",
		"every quantity":  "turn(k) + loop(D) + bundle(n) + max(0, 4*d - pitch) + c + hypot(turn(n), d) + 0*k*mm + mm",
		"combining marks": "d" + strings.Repeat("\u0301", 390),
	}
}

func TestHostile(t *testing.T) {
	for name, source := range hostile() {
		_, err := Compile(source, KnotRole)
		var fault *Fault
		if name == "every quantity" || name == "closed brackets" || name == "decimals" || name == "powers" { // sound, if silly
			require.NoError(t, err, name)
			continue
		}
		require.ErrorAs(t, err, &fault, name)
		wellFormed(t, fault)
	}
}

func TestPictureLinesUp(t *testing.T) {
	for _, tt := range []struct{ source, want string }{
		{"繩*2", "    繩*2\n    ^^"},
		{"2*繩", "    2*繩\n      ^^"},
		{"d\n+ 繩", "    d + 繩\n        ^^"},
		{"d*\u0301", "    d*?\n      ^"},
		{strings.Repeat("d + ", 30) + "e + " + strings.Repeat("d + ", 30), "    ..." + strings.Repeat("d + ", 10) + "e + " + strings.Repeat("d + ", 8) + "...\n" + strings.Repeat(" ", 47) + "^"},
	} {
		_, err := Compile(tt.source, KnotRole)
		var fault *Fault
		require.True(t, errors.As(err, &fault))
		require.Equal(t, tt.want, fault.Picture())
	}
}
