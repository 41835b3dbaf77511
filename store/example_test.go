package store_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"larkfold/store"
	"larkfold/store/boltstore"
)

// Example saves a project in a file, meets a second edit, and undoes.
func Example() {
	if err := run(); err != nil {
		fmt.Println(err)
	}
	// Output:
	// revision 1
	// The project "Owl" changed meanwhile: your change starts from revision 1, the newest is revision 2. Nothing was overwritten.
	// the newest text: piece: owl, larger
	// after undoing: piece: owl
}

func run() error {
	dir, err := os.MkdirTemp("", "store")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	engine, err := boltstore.Open(filepath.Join(dir, "store.db"), boltstore.Options{})
	if err != nil {
		return err
	}
	defer engine.Close()
	ctx, now := context.Background(), time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
	records, err := store.New(ctx, engine, store.Options{})
	if err != nil {
		return err
	}

	p, err := records.SaveProject(ctx, "ann", now, store.Project{Name: "Owl", Sheet: "piece: owl"}, 0)
	if err != nil {
		return err
	}
	fmt.Println("revision", p.Revision)

	larger, smaller := p, p
	larger.Sheet, smaller.Sheet = "piece: owl, larger", "piece: owl, smaller"
	if _, err := records.SaveProject(ctx, "ann", now, larger, p.Revision); err != nil {
		return err
	}
	_, err = records.SaveProject(ctx, "ann", now, smaller, p.Revision)
	var conflict *store.Conflict
	if !errors.As(err, &conflict) {
		return err
	}
	newest := conflict.Stored.(store.Project)
	fmt.Println(conflict)
	fmt.Println("the newest text:", newest.Sheet)

	_, _, err = records.Once(ctx, "ann", now, "undo", func(tx *store.Tx) (json.RawMessage, error) {
		_, err := tx.UndoProject(newest.ID, 1, newest.Revision)
		return nil, err
	})
	if err != nil {
		return err
	}
	p, err = records.Project(ctx, "ann", "Owl")
	if err != nil {
		return err
	}
	fmt.Println("after undoing:", p.Sheet)
	return nil
}

// ExampleRecords_Once books used offcuts out and the rest in, once, however often
// the button is pressed.
func ExampleRecords_Once() {
	dir, err := os.MkdirTemp("", "store")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(dir)
	engine, err := boltstore.Open(filepath.Join(dir, "store.db"), boltstore.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	defer engine.Close()
	ctx, now := context.Background(), time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
	records, err := store.New(ctx, engine, store.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	const metre = store.Nanometres(1_000_000_000)
	_, _, err = records.Once(ctx, "ann", now, "button 16", func(tx *store.Tx) (json.RawMessage, error) {
		_, err := tx.ChangeLeftovers(store.LeftoverChange{Add: []store.Leftover{
			{Kind: store.Offcut, Cord: "3 mm cotton", Length: 5 * metre, Count: 2}}}, 0)
		return nil, err
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	before, err := records.Leftovers(ctx, "ann")
	if err != nil {
		fmt.Println(err)
		return
	}
	for range 2 {
		_, first, err := records.Once(ctx, "ann", now, "button 17", func(tx *store.Tx) (json.RawMessage, error) {
			_, err := tx.ChangeLeftovers(store.LeftoverChange{Why: "cut Owl",
				Take: []store.Take{{ID: before.Entries[0].ID, Count: 1}},
				Add:  []store.Leftover{{Kind: store.Offcut, Cord: "3 mm cotton", Length: 2 * metre, Count: 1}}}, store.AnyRevision)
			return nil, err
		})
		fmt.Println("first:", first, err)
	}
	after, err := records.Leftovers(ctx, "ann")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, e := range after.Entries {
		fmt.Println(e.Count, "x", int64(e.Length/metre), "m")
	}
	// Output:
	// first: true <nil>
	// first: false <nil>
	// 1 x 5 m
	// 1 x 2 m
}
