package bot

// Limits of the platform on definitions of commands, from its public documentation
// (interactions/application-commands, as of August 2026). Package fit knows those on
// messages and forms.
const (
	commandsTyped     = 100
	commandsOnMessage = 15
	commandOptions    = 25
	commandCharacters = 8000
	nameCharacters    = 32
	describedBy       = 100
	optionChoices     = 25
	choiceText        = 100
)
