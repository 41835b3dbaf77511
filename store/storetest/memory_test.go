package storetest

import (
	"testing"

	"larkfold/store"
)

func TestMemory(t *testing.T) {
	Run(t, Subject{Open: func(string) (store.Engine, error) { return NewMemory(), nil }, Forgets: true})
}
