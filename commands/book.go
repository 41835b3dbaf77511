package commands

import (
	"context"
	"encoding/json"
	"fmt"

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
func (a *App) communityKnots(ctx context.Context, req Request) ([]communityKnot, error) {
	if req.Community == "" {
		return nil, nil
	}
	entries, err := a.store.CommunityEntries(ctx, req.Member, req.Community, store.KindKnot)
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

// bookFor is the book that a member's sheets are read with: the standard book,
// then the knots that came with a saved design, then those of the community.
// Where two have one name the earlier one counts, so that a saved design keeps
// the formula it was sized with.
func (a *App) bookFor(ctx context.Context, req Request, own ...knot.Row) (*knot.Book, error) {
	added, err := a.communityKnots(ctx, req)
	if err != nil {
		return nil, err
	}
	rows := own
	for _, k := range added {
		rows = append(rows[:len(rows):len(rows)], k.Row)
	}
	return withRows(a.book, rows), nil
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
