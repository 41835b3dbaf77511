package formula

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// The syntax tree has a gate of its own, so that nothing of the expression
// language gets through even if the scanner let it pass.
func TestOnlySumsPassTheTree(t *testing.T) {
	for _, source := range []string{
		"d + [1, 2][0] * d", "1..9", "{a: d}.a", "d.x", "d?.x", "d[0]", "d[0:1]", "'d'", "b'd'", "true", "nil", "not d", "!d", "d % 2", "d == d",
		"d < c", "d ?? c", "d ? d : c", "if true {d} else {c}", "let x = d; x", "d; c", "d in [d]", "d and c", "map([d], #)",
		"sum([d])", "reduce(1..9, #acc + #)", "len('d')", "repeat('d', 9)", "now()", "$env", "abs(d)", "f(d)", "d.f(c)", "(d)(c)", "x", "d +",
	} {
		at := span{0, len(source)}
		_, fault := build(source, []token{{word, source, at}}, KnotRole)
		require.NotNil(t, fault, source)
		wellFormed(t, fault)
	}
}
