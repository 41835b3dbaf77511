package fit

// FileBytes is the most bytes of one file, unless an interaction names another limit.
const FileBytes = 10 << 20

// Limits of the platform on messages and forms, from its public documentation
// (resources/message, components/reference and interactions/receiving-and-responding,
// as of August 2026).
const (
	embedsPerMessage = 10
	embedTitle       = 256
	embedDescription = 4096
	embedsTotal      = 6000 // over all embeds of a message
	rowsPerMessage   = 5
	buttonsPerRow    = 5
	buttonLabel      = 80
	menuOptions      = 25
	menuOptionText   = 100
	menuPlaceholder  = 150
	modalTitle       = 45
	modalFields      = 5
	inputLabel       = 45
	inputPlaceholder = 100
	inputValue       = 4000
	filesPerMessage  = 10
	requestBytes     = 25 << 20
	altText          = 1024
)
