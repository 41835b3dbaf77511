// Package terminal is the terminal's front end: it turns typed lines into
// [reply.Request]s and shows [reply.Reply]s as aligned text.
//
// Its nouns: a session is one talk with the app, in which what the last answer
// offered can be picked; an asker hands over what is typed, at a prompt or piped in;
// the screen knows how wide the terminal is and shows blocks; the cursor stands
// between the prompt and the terminal.
//
// What will hurt you:
//   - One member talks here, who looks after a community of one, so that everything
//     can be tried without a server.
//   - What a member wrote may hold characters that steer a terminal. Everything
//     shown goes through clean.
//   - A form is asked line by line. Piped in, its lines stand below the line that
//     opened it, and an empty line keeps what stood in the field.
//   - A Ctrl-C in the middle of a form leaves the form, not the program.
package terminal
