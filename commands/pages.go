package commands

import (
	"fmt"

	"larkfold/commands/ask"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
)

// pageRows is how many rows one page of a list has.
const pageRows = 20

// pageOption is the option of every list for its pages.
var pageOption = reply.Option{Name: "page", Description: "which page, when the list has several", Kind: reply.Whole, Min: 1, Max: 1000}

// showPage is what the buttons of a list do; their key is the command and the page.
const showPage = "line.page"

// page is a part of a list: the entries from one on, up to another.
type page struct{ number, of, from, to int }

// pageOf is the page of a list that a request asks for, with so many entries each.
func pageOf(req reply.Request, entries, each int) (page, error) {
	of := max((entries+each-1)/each, 1)
	q := ask.Of(req, sitting.Prefs{})
	n := q.Count("page", 1, of, 1)
	return page{n, of, (n - 1) * each, min(n*each, entries)}, q.Err
}

// others says how to see the other pages of a list: in words, and with buttons.
func (p page) others(command string) []reply.Block {
	if p.of == 1 {
		return nil
	}
	var buttons []reply.Button
	turn := func(label string, n int) {
		if n >= 1 && n <= p.of {
			buttons = append(buttons, reply.Button{Label: label, Do: reply.Do(showPage, fmt.Sprintf("%s %d", command, n), "")})
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

// onPage cuts a table down to one page.
func (p page) onPage(t reply.Table) reply.Table {
	t.Rows = t.Rows[p.from:p.to]
	if len(t.Short) > 0 {
		t.Short = t.Short[p.from:p.to]
	}
	return t
}
