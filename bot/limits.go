package bot

// Limits of the platform, from its public documentation (resources/message,
// components/reference, interactions/receiving-and-responding and
// application-commands, as of August 2026).
const (
	embedsPerMessage  = 10
	embedTitle        = 256
	embedDescription  = 4096
	embedsTotal       = 6000 // over all embeds of a message
	rowsPerMessage    = 5
	buttonsPerRow     = 5
	buttonLabel       = 80
	menuOptions       = 25
	menuOptionText    = 100
	menuPlaceholder   = 150
	modalTitle        = 45
	modalFields       = 5
	inputLabel        = 45
	inputPlaceholder  = 100
	inputValue        = 4000
	filesPerMessage   = 10
	fileBytes         = 10 << 20 // unless the interaction names another limit
	requestBytes      = 25 << 20
	altText           = 1024
	completions       = 25
	completionText    = 100
	commandsTyped     = 100
	commandsOnMessage = 15
	commandOptions    = 25
	commandCharacters = 8000
	nameCharacters    = 32
	describedBy       = 100
)
