package store

import "larkfold/store/pairs"

// fetch tells the engine what will be read next, where that saves it journeys.
func (tx *Tx) fetch(prefixes func() [][]byte) error {
	under := tx.reader
	if o, ok := under.(*pairs.Overlay); ok {
		under = o.Reader
	}
	if f, ok := under.(pairs.Fetcher); ok {
		return f.Fetch(prefixes()...)
	}
	return nil
}

// Ahead says which kinds of the member's own records, and of a community's, will
// be read next, so that an engine across a network reads them on one journey.
func (tx *Tx) Ahead(own []Kind, community string, shared []Kind) error {
	var prefixes [][]byte
	add := func(o bookOwner, kinds []Kind) {
		for _, t := range ownedTypes {
			for _, kind := range kinds {
				if t.kind == kind {
					prefixes = append(prefixes, ownedKey(o.space, o.token, t))
				}
			}
		}
	}
	add(tx.ownBook(), own)
	if community != "" {
		o, err := tx.communityBook(community)
		if err != nil {
			return err
		}
		add(o, shared)
	}
	return tx.fetch(func() [][]byte { return prefixes })
}
