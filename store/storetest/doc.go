// Package storetest holds the one suite that every engine passes, [Run], and an
// engine in memory for the tests of other packages, [NewMemory]; on Linux also small disks
// and users without rights, to see what goes wrong there.
//
// An engine's own test is a call of Run. What goes wrong by chance prints the
// seed it came from; give it back in the environment as [SeedVariable].
package storetest
