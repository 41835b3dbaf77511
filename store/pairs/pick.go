package pairs

import (
	"bytes"
	"context"
)

// Picked is what [Pick] found.
type Picked struct {
	Keys [][]byte // of the wanted pairs
	Seen int      // pairs looked at
	Next []byte   // the key to go on from; nil at the end
}

// Pick looks in one transaction at the pairs under a prefix, from a key on, until it
// has looked at so many or found so many that are wanted.
func Pick(ctx context.Context, e Engine, prefix, from []byte, look, find int, wants func(Pair) bool) (p Picked, err error) {
	err = e.View(ctx, func(r Reader) error {
		p = Picked{}
		for pair, err := range r.Scan(prefix, from) {
			if err != nil {
				return err
			}
			if p.Seen == look || len(p.Keys) == find {
				p.Next = bytes.Clone(pair.Key)
				return nil
			}
			p.Seen++
			if wants(pair) {
				p.Keys = append(p.Keys, bytes.Clone(pair.Key))
			}
		}
		return nil
	})
	return p, err
}
