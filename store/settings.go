package store

import "slices"

func (tx *Tx) settingsKey(community string) ([]byte, error) {
	o, err := tx.communityBook(community)
	if err != nil {
		return nil, err
	}
	return ownedKey(o.space, o.token, settingsRecord), nil
}

// Settings: see [Records.Settings].
func (tx *Tx) Settings(community string) (set Settings, err error) {
	key, err := tx.settingsKey(community)
	if err != nil {
		return Settings{}, err
	}
	_, err = tx.get(key, &set)
	return set, err
}

// SaveSettings saves what a community has set. The caller has made sure that
// the member may.
func (tx *Tx) SaveSettings(community string, set Settings, expected uint64) (Settings, error) {
	key, err := tx.settingsKey(community)
	if err != nil {
		return Settings{}, err
	}
	if err := within("sharing channels", len(set.Channels), tx.records.limits.CommunityChannels); err != nil {
		return Settings{}, err
	}
	if err := tx.records.limits.cleanData(&set.Data); err != nil {
		return Settings{}, err
	}
	for _, channel := range set.Channels {
		if err := checkID("channel", channel); err != nil {
			return Settings{}, err
		}
	}
	var stored Settings
	if _, err := tx.get(key, &stored); err != nil {
		return Settings{}, err
	}
	set.Channels = slices.Clone(set.Channels)
	set.Revision, set.Changed = stored.Revision+1, tx.now
	if expected != AnyRevision && expected != stored.Revision {
		return Settings{}, &Conflict{Kind: KindSettings, Expected: expected, Found: stored.Revision, Stored: stored}
	}
	return set, tx.put(key, set)
}
