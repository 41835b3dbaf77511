// Package sheet is the working sheet: a design written as a maker would dictate
// it, one step a line, in plain trade words, measured in ends counted from the left.
//
// [Parse] reads a text into a [Sheet] and says what is wrong with it in [Faults],
// each a picture that points at the word; [Format] prints the one canonical form.
// Printing and reading again gives the same sheet, to the nanometre, comments
// included. The nouns: a [Cord] is a kind of cord, a [Panel] is one piece of work
// in hand, a [Step] is one line of it, [Ends] and [Position] name some of today's
// ends, a [Count] says how often a step repeats.
//
// What will hurt you: Parse knows the notation but no geometry. Whether the ends
// are there, groups fit and joined panels match is for the trace to say. A sheet
// that came with faults holds what could be read and no more, so look at
// [Faults.Any] before using it. Positions are those of the moment: after a bar the
// carrier stands where it went. Names of knots are canonical in a Sheet, whatever
// the maker wrote; names of cords and panels are spelled as where they are declared.
//
// # Notation
//
// Words are case-blind, blanks between them are free, typographic apostrophes,
// hyphens and minus signs are like plain ones, and a comment runs from # to the end
// of its line. Options in square brackets after the knot of a step stand in any
// order. In EBNF, with [ ] for at most one and { } for any number:
//
//	sheet     = { [ head | panel | step | after ] [ "#" comment ] newline } .
//
//	head      = "piece" text
//	          | "copies" n
//	          | "cord" name thickness [ making ] { "colour" colour | "squeeze" number } [ [ "," ] "spool" length [ mass ] [ price ] ]
//	          | "dowel" [ name ] length "x" thickness [ wood ]
//	          | "ring" [ name ] diameter "x" thickness [ wood ]
//	          | "margin" number "%"
//	          | "round" "up" "to" length
//	          | "economy"
//	          | "tie" ( "pushed" "up" | "relaxed" )
//	          | "hang" ( "touching" | "relaxed" | "spread" ) .
//	making    = whatever cord.ParseConstruction reads .
//	colour    = whatever cord.ParseColour reads .
//
//	panel     = "panel" name [ "on" rod ] [ "round" | "both" "ways" ] [ "from" name { "," name } ] .
//
//	step      = "mount" n folding [ cord ] { "," n [ folding ] [ cord ] }
//	          | "gap" length
//	          | "row" knot [ of ] [ "skip" n ] [ "shift" n ] [ on ]
//	          | "net" knot count [ of ] [ "shifted" ] [ apart ] [ on ]
//	          | ( "taper" | "widen" ) knot [ count ] [ of ] [ apart ] [ on ]
//	          | "sinnet" knot count [ of ] [ apart ] [ on ]
//	          | ( "bar" | "gather" ) [ "from" ] position "to" position [ count ] [ "level" | "slope" degrees ] [ apart ]
//	          | "onto" rod
//	          | "plait" [ "3" | "4" ] [ of ] "for" length [ "tight" | "loose" ] [ on ]
//	          | "add" n ( "folded" | "single" ) [ cord ] ( "left" | "right" | "at" position )
//	          | "bead" length [ "hole" length ] [ of ] [ on ]
//	          | "wrap" ( "turns" n | "for" length | "cord" length ) [ on ] [ "with" cord ]
//	          | "tassel" length "with" n [ "strands" ] [ cord ] [ on ]
//	          | "leaf" n "from" length "to" length [ cord ] [ on ]
//	          | "space" length [ on ]
//	          | "tail" length [ "to" length "at" ( "middle" | "edges" | "left" | "right" ) ] [ on ]
//	          | "repeat" n [ "times" ]
//	          | "end" .
//	folding   = "folded" | "single" | "laid" .
//	count     = ( "rows" | "times" ) n | "for" length | "until" "under" panelname [ "by" length ] .
//	of        = "of" n .
//	apart     = "apart" length .
//	on        = "on" ( "all" | ends { "," ends } ) .
//	ends      = n [ "-" n ] | ( "left" | "right" | "middle" ) n .
//	position  = n | "left" | "right" | "middle" [ ( "+" | "-" ) n ] .
//
//	after     = "fringe" length "by" n [ "each" length ] "on" ( ( "left" | "right" | "both" | "foot" ) "of" panelname | rod ) [ "with" cord ]
//	          | "swag" n [ cord ] "over" length "drop" length
//	          | "hanger" ( "rise" length | "angle" degrees ) .
//	rod       = "rod" | rodname .
//
// A name is one word of letters, digits and hyphens in any script. A knot is every
// word up to of, skip, shift, on, rows, times, apart, for or until, so a knot whose
// name holds one of these, or shifted, cannot be used (see [CheckKnotName]). What the
// trade calls a knot is understood wherever a knot is named; a line may also begin
// with another word of the trade for its first ([vocabulary.Word]) or with the knot that its
// step ties (clove hitch left to middle), and a mount may name the knot that it hangs
// cords by. A length is written as package length
// reads it, blanks and all; it needs its unit, but a bare thickness is in
// millimetres. A comma between two digits belongs to the number, except among ends.
// A number may also stand before rows, times and turns. A # and six hexadecimal
// digits directly behind the word colour of a cord are its colour and no comment.
// Package vocabulary explains every word, [Facts] describes a step: one description serves the
// reader, the printer, the help and whoever asks what steps share.
//
// A repeat holds steps up to its end, neither mounts nor another repeat. In a panel, gap comes first, then the mounts side by side, then the rest; a panel
// that joins others has neither. A panel joins panels that stand above it, each
// once. Head lines may stand anywhere and are printed first. The limits are 200
// lines, 16 KiB, 2000 ends and 200 000 knots.
package sheet
