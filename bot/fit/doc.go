// Package fit makes of a [reply.Reply] what the platform can show: a [Message] within
// all its limits, or a [Modal] for a form. It knows every width and length of the
// platform and calls nobody.
//
// Its nouns: a piece is one block ready to be packed; an embed is a framed part of a
// message; a component is a button, a menu or an input in a row; a custom id is what a
// control carries back when it is used, see [EncodeAction].
//
// What will hurt you:
//   - The platform counts in UTF-16 units, see [Units], and refuses a whole message for
//     one field that is too long.
//   - What is too long goes whole into an attached text file, and the message says so;
//     a caution is never left out.
//   - A form is fitted whole or refused: none of what a member typed is cut off.
//   - What members wrote must show as it was typed: see [Escape].
package fit
