package bot_test

import (
	"larkfold/bot"
	"larkfold/commands"
)

var _ bot.App = (*commands.App)(nil)
