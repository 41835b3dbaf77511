// Package slip is the way out of a slip: what a member reads when something is refused,
// and what they may have meant. [Refusal] turns an error that is theirs to mend into a
// reply; a [Mender] looks for lines near to what was typed, tries each without changing
// anything, and puts the best under the refusal, with a button that runs it.
//
// What will hurt you: only what was tried and accepted is suggested, and each trial may be
// as much work as a command, so that their number is bounded. No member's text travels
// in a button. What the names of options mean stands here once for all commands.
package slip
