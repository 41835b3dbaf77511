// Package member is what concerns a member themselves: how they want answers (/prefs),
// and everything that is kept about them, to be taken out or erased (/mydata).
//
// What will hurt you: what /mydata promises of times comes from [Retention], which
// whoever runs the program sets; a promise that is not kept there is a lie.
package member
