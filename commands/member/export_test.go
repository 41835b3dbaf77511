package member

// Sentences are what is true of what was erased just now, for the test beside them.
var Sentences = Retention.sentences
