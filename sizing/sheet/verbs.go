package sheet

import "larkfold/sizing/vocabulary"

// readers are how the lines of each first word are read, where they are no steps.
var readers = map[string]func(*reader, *line){
	"piece": (*reader).piece, "copies": (*reader).copies, "cord": (*reader).cord, "dowel": (*reader).rod, "ring": (*reader).rod,
	"margin": (*reader).margin, "round": (*reader).roundUp, "economy": (*reader).economy, "tie": (*reader).tie, "hang": (*reader).hang,
	"panel": (*reader).panelLine, "fringe": (*reader).fringe, "swag": (*reader).swag, "hanger": (*reader).hanger,
}

// verbs are all words that a line can begin with.
func verbs() []verb {
	var all []verb
	for _, w := range vocabulary.Words() {
		read := readers[w.Name]
		switch {
		case w.Part == vocabulary.Detail:
			continue
		case w.Part == vocabulary.InPanel:
			read = (*reader).step
		}
		all = append(all, verb{w.Name, w.Part, w.Example, read})
	}
	return all
}
