package commands

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"slices"
	"sync"

	"larkfold/commands/reply"
	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
	"larkfold/store"
)

// communityKnot is a knot that a community added to the book.
type communityKnot struct {
	knot.Row
	AddedBy string // opaque id of the member; empty after that member was forgotten
	Added   string // the day
}

// communityKnots lists the knots that the request's community added.
func (a *App) communityKnots(ctx context.Context, req reply.Request) ([]communityKnot, error) {
	entries, err := a.knotEntries(ctx, req)
	if err != nil {
		return nil, err
	}
	knots := make([]communityKnot, len(entries))
	for i, e := range entries {
		if err := json.Unmarshal(e.Data, &knots[i].Row); err != nil {
			return nil, fmt.Errorf("the knot %q of a community cannot be read: %w", e.Name, err)
		}
		knots[i].AddedBy, knots[i].Added = e.AddedBy, e.Changed.Format(dayLayout)
	}
	return knots, nil
}

// knotEntries are the records of the knots that the request's community added.
func (a *App) knotEntries(ctx context.Context, req reply.Request) ([]store.Entry, error) {
	if req.Community == "" {
		return nil, nil
	}
	return a.store.CommunityEntries(ctx, req.Member, req.Community, store.KindKnot)
}

// bookFor is the book that a member's sheets are read with: the standard book,
// then the knots that came with a saved design, then those of the community.
// Where two have one name the earlier one counts, so that a saved design keeps
// the formula it was sized with.
func (a *App) bookFor(ctx context.Context, req reply.Request, own ...knot.Row) (*knot.Book, error) {
	entries, err := a.knotEntries(ctx, req)
	if err != nil || len(entries)+len(own) == 0 {
		return a.book, err
	}
	hash := sha256.New()
	if err := json.NewEncoder(hash).Encode(own); err != nil {
		return nil, err
	}
	for _, e := range entries {
		hash.Write(e.Data)
	}
	return a.books.get([sha256.Size]byte(hash.Sum(nil)), func() (*knot.Book, error) {
		rows := slices.Clone(own)
		for _, e := range entries {
			var row knot.Row
			if err := json.Unmarshal(e.Data, &row); err != nil {
				return nil, fmt.Errorf("the knot %q of a community cannot be read: %w", e.Name, err)
			}
			rows = append(rows, row)
		}
		return withRows(a.book, rows), nil
	})
}

// books keeps the books that were made last, by a hash of the rows they were
// made from: compiling a big community's knots takes longer than sizing a sheet.
type books struct {
	mu   sync.Mutex
	made map[[sha256.Size]byte]*knot.Book
}

// mostBooks are kept at a time; then all are made anew.
const mostBooks = 64

func (b *books) get(key [sha256.Size]byte, build func() (*knot.Book, error)) (*knot.Book, error) {
	b.mu.Lock()
	book, ok := b.made[key]
	b.mu.Unlock()
	if ok {
		return book, nil
	}
	book, err := build()
	if err != nil {
		return nil, err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.made == nil || len(b.made) >= mostBooks {
		b.made = map[[sha256.Size]byte]*knot.Book{}
	}
	b.made[key] = book
	return book, nil
}

// withRows is a book with more rows. A row that the book cannot take, because it
// has a knot of that name, is passed over.
func withRows(book *knot.Book, rows []knot.Row) *knot.Book {
	if all, err := book.With(rows...); err == nil {
		return all
	}
	for _, r := range rows {
		if wider, err := book.With(r); err == nil {
			book = wider
		}
	}
	return book
}

// usedRows lists the rows of a sheet's knots that are not in the standard book,
// which a saved design takes along.
func (a *App) usedRows(book *knot.Book, s sheet.Sheet) []knot.Row {
	var rows []knot.Row
	seen := map[string]bool{}
	for _, panel := range s.Panels {
		for _, step := range panel.Steps {
			name := knotOf(step)
			if _, standard := a.book.Knot(name); name == "" || standard || seen[name] {
				continue
			}
			if k, ok := book.Knot(name); ok {
				seen[name] = true
				rows = append(rows, k.Row)
			}
		}
	}
	return rows
}

// knotOf is the knot that a step names, or nothing.
func knotOf(step sheet.Step) string {
	switch s := step.(type) {
	case sheet.Row:
		return s.Knot
	case sheet.Net:
		return s.Knot
	case sheet.Taper:
		return s.Knot
	case sheet.Sinnet:
		return s.Knot
	}
	return ""
}

// projectData is what a saved design holds beside its sheet.
type projectData struct {
	Knots []knot.Row `json:"knots,omitempty"` // those of its knots that are not in the standard book
}

// dataOf packs what a design takes along; nothing when there is nothing.
func dataOf(knots []knot.Row) (json.RawMessage, error) {
	if len(knots) == 0 {
		return nil, nil
	}
	return json.Marshal(projectData{knots})
}

// knotsIn are the knots that a saved design took along.
func knotsIn(p store.Project) ([]knot.Row, error) {
	var data projectData
	if len(p.Data) == 0 {
		return nil, nil
	}
	if err := json.Unmarshal(p.Data, &data); err != nil {
		return nil, fmt.Errorf("what the project %q took along cannot be read: %w", p.Name, err)
	}
	return data.Knots, nil
}
