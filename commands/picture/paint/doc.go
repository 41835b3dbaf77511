// Package paint is what every picture is made of: a list of shapes and words with
// their places, the inks and the type of the house, and what renders them.
//
// Its nouns: a [Drawing] is one list of shapes; PNG, PDF and SVG only render it, so the
// three agree. A [Part] says which shapes show one thing and where, so that tests can
// ask; what kinds of thing there are, whoever draws them says. It knows nothing of
// knots and cords.
//
// What is drawn alike in many places is a [Stamp]: drawn once, painted once, in
// quarters of a pixel, brought down to pixels once for each quarter it may fall on,
// and copied from then on. Cords that hang
// or lie straight are painted row by row, everything else by
// golang.org/x/image/vector, all of it into the entries of a palette, so that
// nothing is left to reduce before it is packed. PDF is written by fpdf itself:
// over gonum's vg, which wraps it, print knows only the signs of code page 1252.
//
// What will hurt you: places are in [Points], y down; words are measured with the
// embedded Liberation fonts, which know Latin, Greek, Cyrillic and Hebrew, and
// every other sign is shown as a box; colour never carries meaning alone, so a
// new colour needs a pattern or a label beside it.
package paint
