//go:build !(linux || darwin || freebsd)

package boltstore

// DiskRoom returns how many bytes this user may still write on the disk of a
// folder; negative where the system does not say.
func DiskRoom(string) (int64, error) { return -1, nil }

// likeFile: owners and modes are the folder's affair here.
func likeFile(string, string) error { return nil }
