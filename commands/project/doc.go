// Package project is what members keep as designs of their own: written, shown, resized,
// printed and shared. Its commands are /project and /sharing, with the buttons under
// every sized sheet.
//
// What will hurt you: whatever changes a design names the revision it was seen at, so
// that two devices do not overwrite each other; a shared design is a frozen copy.
package project
