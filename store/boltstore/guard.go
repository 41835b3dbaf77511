package boltstore

import (
	"fmt"
	"runtime/debug"
	"strings"

	"larkfold/store"
)

// guard runs work and turns what bbolt does on a damaged file - it panics, or
// touches memory beyond the file - into a fault. Other panics pass.
func guard(work func() error) (err error) {
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	defer func() {
		if p := recover(); p != nil {
			if !fromDamage(p) {
				panic(p)
			}
			err = &store.Fault{Kind: store.ErrDamaged,
				Sentence: "The store's file is damaged. Restore the newest good backup.", Cause: fmt.Errorf("%v", p)}
		}
	}()
	return work()
}

// fromDamage tells a panic that a damaged file causes in bbolt from one of the caller's own.
func fromDamage(p any) bool {
	if _, touchedMemory := p.(interface{ Addr() uintptr }); touchedMemory {
		return true
	}
	return boltFrame(string(debug.Stack()))
}

// boltFrame tells whether the panic of a stack was raised in bbolt itself.
func boltFrame(stack string) bool {
	_, raised, found := strings.Cut(stack, "\npanic(")
	if !found {
		return false
	}
	lines := strings.Split(raised, "\n")
	for _, line := range lines[1:] {
		if strings.HasPrefix(line, "\t") || strings.HasPrefix(line, "runtime.") || line == "" {
			continue
		}
		return strings.HasPrefix(line, "go.etcd.io/bbolt")
	}
	return false
}
