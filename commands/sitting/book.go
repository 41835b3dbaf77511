package sitting

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"slices"
	"sync"
	"time"

	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/former"
	"larkfold/store"
)

// CommunityKnot is a knot that a community added to the book.
type CommunityKnot struct {
	knot.Row
	AddedBy string // opaque id of the member; empty after that member was forgotten
	Added   time.Time
}

// bookCache keeps the books that were made last, by a hash of the rows they were
// made from: compiling a big community's knots takes longer than sizing a sheet.
type bookCache struct {
	mu   sync.Mutex
	made map[[sha256.Size]byte]*knot.Book
}

// mostBooks are kept at a time; then all are made anew.
const mostBooks = 64

func (b *bookCache) get(key [sha256.Size]byte, build func() (*knot.Book, error)) (*knot.Book, error) {
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

// withRows is a book with rows that were taken in before, whose names go on meaning
// them; of two by one name the first. A row that can no longer be compiled is passed
// over. A name from before it held a word of the sheet is changed.
func withRows(book *knot.Book, rows []knot.Row) *knot.Book {
	rows = slices.Clone(rows)
	slices.Reverse(rows)
	for i := range rows {
		rows[i].Name = former.Knot(rows[i].Name)
	}
	if all, err := book.Kept(rows...); err == nil {
		return all
	}
	for _, r := range rows {
		if wider, err := book.Kept(r); err == nil {
			book = wider
		}
	}
	return book
}

// knotOf is the knot that a step names, or nothing.
func knotOf(step sheet.Step) string {
	if name := sheet.FactsOf(step).Knot(); name != nil {
		return *name
	}
	return ""
}

// projectData is what a saved design holds beside its sheet.
type projectData struct {
	Knots []knot.Row `json:"knots,omitempty"` // those of its knots that are not in the standard book
}

// PackKnots packs what a design takes along; nothing when there is nothing.
func PackKnots(knots []knot.Row) (json.RawMessage, error) {
	if len(knots) == 0 {
		return nil, nil
	}
	return json.Marshal(projectData{knots})
}

// KnotsOf are the knots that a saved design took along.
func KnotsOf(p store.Project) ([]knot.Row, error) {
	var data projectData
	if len(p.Data) == 0 {
		return nil, nil
	}
	if err := json.Unmarshal(p.Data, &data); err != nil {
		return nil, fmt.Errorf("what the project %q took along cannot be read: %w", p.Name, err)
	}
	return data.Knots, nil
}
