package ask

// What a member types in full, so that it is meant.
const (
	ForgetPhrase = "forget me" // to have everything about them erased
	InPlace      = "in place"  // in save, to change the design itself
)
