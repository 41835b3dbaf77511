package storetest

import (
	"testing"

	"larkfold/store/pairs"
)

func TestMemory(t *testing.T) {
	Run(t, Subject{Open: func(string) (pairs.Engine, error) { return NewMemory(), nil }, Forgets: true})
}
