// Package pages shows long lists a [Page] at a time: which one a request asks for, its
// part of a table, and the buttons that lead to its neighbours.
//
// What will hurt you: a button carries the command's path and a number, no key; what it
// shows is the list as it is when it is pressed.
package pages

import (
	"fmt"

	"larkfold/commands/ask"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
)

// Rows is how many rows one page of a list has.
const Rows = 20

// Option is the option of every list for its pages.
var Option = reply.Option{Name: "page", Description: "which page, when the list has several", Kind: reply.Whole, Min: 1, Max: 1000}

// Show is what the buttons of a list do; their key is the command and the page.
const Show = "line.page"

// Page is a part of a list: the entries from one on, up to another.
type Page struct{ number, of, From, To int }

// Of is the page of a list that a request asks for, with so many entries each.
func Of(req reply.Request, entries, each int) (Page, error) {
	of := max((entries+each-1)/each, 1)
	q := ask.Of(req, sitting.Prefs{})
	n := q.Count("page", 1, of, 1)
	return Page{n, of, (n - 1) * each, min(n*each, entries)}, q.Err
}

// Others says how to see the other pages of a list: in words, and with buttons.
func (p Page) Others(command string) []reply.Block {
	if p.of == 1 {
		return nil
	}
	var buttons []reply.Button
	turn := func(label string, n int) {
		if n >= 1 && n <= p.of {
			buttons = append(buttons, reply.Button{Label: label, Do: reply.Do(Show, fmt.Sprintf("%s %d", command, n), "")})
		}
	}
	turn("previous page", p.number-1)
	turn("next page", p.number+1)
	on := p.number%p.of + 1
	return []reply.Block{
		reply.Text(fmt.Sprintf("Page %d of %d. Page %d:", p.number, p.of, on)), reply.Verbatim(fmt.Sprintf("/%s page:%d", command, on)),
		reply.Actions{Buttons: buttons},
	}
}

// Cut cuts a table down to one page.
func (p Page) Cut(t reply.Table) reply.Table {
	t.Rows = t.Rows[p.From:p.To]
	if len(t.Short) > 0 {
		t.Short = t.Short[p.From:p.To]
	}
	return t
}
