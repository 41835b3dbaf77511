package store

import (
	"context"
	"time"

	"larkfold/store/pairs"
)

// Lease is the right of one replica to do a piece of work that is done once, for
// a while. Its fence grows whenever the work changes hands, so that a replica
// that was held up and comes back late is found out, see [Records.Under].
type Lease struct {
	Work    string    `json:"work"`
	Holder  string    `json:"holder"` // the replica; no two may have one name
	Fence   uint64    `json:"fence"`
	Expires time.Time `json:"expires"`
}

// Take takes, or takes for longer, the lease of a piece of work. It returns
// false where another replica has it. Clocks of replicas may differ by less than
// the life of a lease.
func (s *Records) Take(ctx context.Context, work, holder string, now time.Time, life time.Duration) (lease Lease, taken bool, err error) {
	err = s.update(ctx, func(w pairs.Writer) error {
		var stored Lease
		if err := s.leaseIn(w, work, &stored); err != nil {
			return err
		}
		taken = stored.Holder == holder || !stored.Expires.After(now)
		if !taken {
			return nil
		}
		lease = Lease{Work: work, Holder: holder, Fence: stored.Fence, Expires: now.Add(life).UTC().Round(0)}
		if stored.Holder != holder {
			lease.Fence++
		}
		return s.putLease(w, lease)
	})
	return lease, taken && err == nil, err
}

// GiveBack ends a lease before its time, unless it has changed hands already.
func (s *Records) GiveBack(ctx context.Context, lease Lease) error {
	return s.update(ctx, func(w pairs.Writer) error {
		var stored Lease
		if err := s.leaseIn(w, lease.Work, &stored); err != nil || stored.Fence != lease.Fence {
			return err
		}
		return s.putLease(w, Lease{Work: lease.Work, Fence: lease.Fence})
	})
}

// Under is the store for work that is done under a lease: it refuses every
// change with [ErrLeaseLost] once the lease has changed hands.
func (s *Records) Under(lease Lease) *Records {
	under := *s
	under.engine = fenced{s.engine, s, lease}
	return &under
}

// fenced looks at the fence in the transaction of every change.
type fenced struct {
	pairs.Engine
	records *Records
	lease   Lease
}

func (f fenced) Update(ctx context.Context, change func(pairs.Writer) error) error {
	return f.Engine.Update(ctx, func(w pairs.Writer) error {
		var stored Lease
		if err := f.records.leaseIn(w, f.lease.Work, &stored); err != nil {
			return err
		}
		if stored.Fence != f.lease.Fence {
			return &Fault{Kind: ErrLeaseLost, Sentence: "Another replica has taken over the " + f.lease.Work + "."}
		}
		return change(w)
	})
}

// leaseIn reads the lease of a piece of work, which is empty when nobody ever had it.
func (s *Records) leaseIn(r pairs.Reader, work string, lease *Lease) error {
	key := leaseKey(work)
	value, found, err := r.Get(key)
	if err != nil || !found {
		return err
	}
	return s.codec.decode(key, value, lease)
}

func (s *Records) putLease(w pairs.Writer, lease Lease) error {
	key := leaseKey(lease.Work)
	value, err := s.codec.encode(key, lease)
	if err != nil {
		return err
	}
	return w.Put(key, value)
}
