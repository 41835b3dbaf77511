// Package making is a design in the making: its sheet, every change to it that a
// press or a form can ask for, and what stood there before and after.
//
// Its nouns: a design is a sheet that sizes, with its history; an edit is a change
// of the sheet's lines; a blank is one thing that a form asks for. Everything is
// done to the text: an edit puts a line in, takes one out or writes one anew, and
// the sheet is read, sized and printed in its one form again. So what is built by
// pressing and what is written by hand cannot differ.
//
// What will hurt you: an edit that does not size is refused and leaves the design
// as it was; callers must keep a design only after Do returned no error.
package making
