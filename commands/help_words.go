package commands

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
	"larkfold/sizing/vocabulary"
)

// sheetWord finds a word of the working sheet, by itself or by another word that the
// trade has for it.
func sheetWord(name string) (vocabulary.Word, bool) {
	all := vocabulary.Words()
	i := slices.IndexFunc(all, func(w vocabulary.Word) bool { return w.Name == name })
	if i < 0 {
		i = slices.IndexFunc(all, func(w vocabulary.Word) bool { return slices.Contains(w.Also, name) })
	}
	if i < 0 {
		return vocabulary.Word{}, false
	}
	return all[i], true
}

// helpKnot leads from a knot's name, whatever the trade calls it, to its page in the book.
func helpKnot(k *knot.Knot) reply.Reply {
	blocks := []reply.Block{reply.Heading(say.KnotTitle(k)), reply.Text(k.About)}
	if len(k.Also) > 0 {
		blocks = append(blocks, reply.Facts{say.AlsoCalled(k.Also)})
	}
	return reply.Reply{Blocks: append(blocks, reply.Text("What it takes in your cord, and how to tie it:"), reply.Verbatim("/knots show name:"+reply.QuotedIfSpaced(k.Name)+" thickness:4mm"))}
}

// helpWord explains one word of the working sheet: what it means, a line that holds
// it, and what a whole sheet with that line looks like.
func helpWord(ctx context.Context, sit sitting.Sitting, w vocabulary.Word) (reply.Reply, error) {
	sized, err := sizing.Size(ctx, sit.Prefs.Sample(w.Sheet()), sizing.Maker{Style: sit.Prefs.Style})
	if err != nil {
		return reply.Reply{}, fmt.Errorf("the example of %q cannot be sized: %w", w.Name, err)
	}
	where := map[vocabulary.Part]string{
		vocabulary.Head: "begins a line at the top of a sheet", vocabulary.PanelHead: "begins a panel", vocabulary.InPanel: "begins a step of a panel",
		vocabulary.AfterPanel: "begins a line after the panels", vocabulary.Detail: "stands in lines of " + noun.List(w.In),
	}[w.Part]
	answer := reply.Reply{Blocks: []reply.Block{
		reply.Heading(w.Name + ", a word of the sheet"), reply.Text(w.Means),
		reply.Facts{{Label: "where", Value: where}, {Label: "example", Value: w.Example}},
	}}
	if len(w.Also) > 0 {
		answer.Blocks = append(answer.Blocks, reply.Facts{say.AlsoCalled(w.Also)})
	}
	if lay := usage(w); lay != "" {
		answer.Blocks = append(answer.Blocks, reply.Facts{{Label: "with it", Value: lay}})
	}
	answer.Blocks = append(answer.Blocks, reply.Text("A whole sheet with it:"), reply.Verbatim(strings.TrimRight(w.Sheet(), "\n")))
	return reply.Reply{Blocks: append(answer.Blocks, say.Piece(sized, sit.Prefs))}, nil
}

// usage is what a step can say beside its first word.
func usage(w vocabulary.Word) string {
	if w.Part != vocabulary.InPanel {
		return ""
	}
	facts, ok := sheet.FactsFor(w.Name)
	if !ok {
		return ""
	}
	var parts []string
	for _, a := range facts.Amounts {
		part := a.What + ", as in " + a.Like
		if !a.Must {
			part += " (may be left out)"
		}
		parts = append(parts, part)
	}
	return strings.Join(parts, "; ")
}

// helpWords lists the words of the sheet by where they stand.
func helpWords() reply.Facts {
	titles := []struct {
		part  vocabulary.Part
		title string
	}{{vocabulary.Head, "at the top"}, {vocabulary.PanelHead, "a panel"}, {vocabulary.InPanel, "its steps"}, {vocabulary.AfterPanel, "after the panels"}, {vocabulary.Detail, "inside of lines"}}
	var facts reply.Facts
	for _, t := range titles {
		var names []string
		for _, w := range vocabulary.Words() {
			if w.Part == t.part {
				names = append(names, w.Name)
			}
		}
		facts = append(facts, reply.Fact{Label: t.title, Value: strings.Join(names, ", ")})
	}
	return facts
}
