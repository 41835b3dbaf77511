//go:build !unix

package pgtest

// Stop does nothing where no server can be started.
func Stop() {}
