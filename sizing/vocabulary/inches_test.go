package vocabulary_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/vocabulary"
)

func TestWrittenInInches(t *testing.T) {
	for text, want := range map[string]bool{
		"":                                       false,
		"cord main 4 mm\npanel p\n  tail 8 in\n": true,
		"cord main 5/32 in\npanel p\n  tail 20 cm\n":                                  false,
		"dowel 24 in x 20 mm\npanel p\n  tail 8 in\n":                                 true,
		"dowel 24 in x 20 mm\npanel p\n  tail 20 cm\n":                                false,
		"dowel 2 ft x 3/4 in # 60 cm x 20 mm of birch, 1 m left\npanel p\n  gap 3 cm": true,
		"panel p\n  tail 7½\"\n":                                                      true,
	} {
		require.Equal(t, want, vocabulary.WrittenInInches(text), text)
	}
}
