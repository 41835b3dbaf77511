package fit

import (
	"fmt"
	"strings"

	"larkfold/commands/reply"
)

// controls lays the buttons and menus of a reply out in rows. What does not fit
// is left out, and a note says so.
func controls(blocks []reply.Block) (rows []component, notes []string, faults []error) {
	rows = []component{}
	slot, left := 0, 0
	add := func(do reply.Action, build func(id string) component, menu bool) {
		id, err := EncodeAction(slot, do)
		if err != nil {
			faults = append(faults, err)
			left++
			return
		}
		if !place(&rows, build(id), menu) {
			faults = append(faults, fmt.Errorf("no room for the control of action %q", do.Name))
			left++
			return
		}
		slot++
	}
	for _, block := range blocks {
		actions, ok := block.(reply.Actions)
		if !ok {
			continue
		}
		fresh := true // every group starts a row
		for _, b := range actions.Buttons {
			if fresh && len(rows) < rowsPerMessage && (len(rows) == 0 || len(rows[len(rows)-1].Components) > 0) {
				rows = append(rows, component{Type: componentRow})
			}
			fresh = false
			add(b.Do, func(id string) component { return button(b, id) }, false)
		}
		for _, m := range actions.Menus {
			options := Menu(m.Choices)
			if len(options) == 0 {
				continue
			}
			add(m.Do, func(id string) component {
				return component{Type: componentMenu, CustomID: id, Placeholder: cut(oneLine(m.Placeholder), menuPlaceholder), Options: options}
			}, true)
		}
	}
	rows = withoutEmpty(rows)
	if left > 0 {
		notes = []string{fmt.Sprintf("%d of the choices could not be shown here.", left)}
	}
	return rows, notes, faults
}

// place puts a control into the last row that can hold it, or a new one.
func place(rows *[]component, c component, alone bool) bool {
	if n := len(*rows); n > 0 {
		last := &(*rows)[n-1]
		holdsMenu := len(last.Components) > 0 && last.Components[0].Type == componentMenu
		if len(last.Components) == 0 || !alone && !holdsMenu && len(last.Components) < buttonsPerRow {
			last.Components = append(last.Components, c)
			return true
		}
	}
	if len(*rows) < rowsPerMessage {
		*rows = append(*rows, component{Type: componentRow, Components: []component{c}})
		return true
	}
	for i := range *rows {
		row := &(*rows)[i]
		if !alone && row.Components[0].Type == componentButton && len(row.Components) < buttonsPerRow {
			row.Components = append(row.Components, c)
			return true
		}
	}
	return false
}

func withoutEmpty(rows []component) []component {
	kept := rows[:0]
	for _, row := range rows {
		if len(row.Components) > 0 {
			kept = append(kept, row)
		}
	}
	return kept
}

func button(b reply.Button, id string) component {
	style := buttonSecondary
	switch {
	case b.Danger:
		style = buttonDanger
	case b.Main:
		style = buttonPrimary
	}
	label := strings.TrimSpace(oneLine(b.Label))
	if label == "" {
		label = b.Do.Name
	}
	return component{Type: componentButton, Style: style, CustomID: id, Label: cut(label, buttonLabel)}
}

// Menu returns the choices that the platform takes: not empty, not twice, not more than 25.
func Menu(choices []reply.Choice) []SelectOption {
	var options []SelectOption
	seen := map[string]bool{}
	for _, c := range choices {
		label := cut(strings.TrimSpace(oneLine(c.Name)), menuOptionText)
		if label == "" {
			label = cut(strings.TrimSpace(oneLine(c.Value)), menuOptionText)
		}
		if label == "" || c.Value == "" || seen[c.Value] || Units(c.Value) > menuOptionText || len(options) == menuOptions {
			continue
		}
		seen[c.Value] = true
		options = append(options, SelectOption{Label: label, Value: c.Value, Description: cut(strings.TrimSpace(oneLine(c.Note)), menuOptionText)})
	}
	return options
}
