package commands

import (
	"maps"

	"larkfold/commands/building"
	"larkfold/commands/cutting"
	"larkfold/commands/handler"
	"larkfold/commands/member"
	"larkfold/commands/project"
	"larkfold/commands/question"
	"larkfold/commands/takeup"
)

// list is every command, in the order that help shows them.
func list(kept member.Retention, help handler.Command) []handler.Command {
	return []handler.Command{
		question.CordCommand(),
		question.CutCommand(),
		question.WrapCommand(),
		question.ConvertCommand(),
		project.ProjectCommand(),
		building.BuildCommand(),
		building.WorkCommand(),
		question.FringeCommand(),
		question.DowelCommand(),
		cutting.PlanCommand(),
		cutting.ShelfCommand(),
		takeup.SwatchCommand(),
		takeup.KnotsCommand(),
		takeup.RuleCommand(),
		project.SharingCommand(),
		member.PrefsCommand(),
		member.MyDataCommand(kept),
		help,
		question.MessageCommand(),
	}
}

// pressed is what every button, menu and form does, by the names of their actions.
func pressed(helpTask handler.Command) map[string]handler.Command {
	all := map[string]handler.Command{"help.task": helpTask}
	for _, room := range rooms() {
		maps.Copy(all, room)
	}
	return all
}

// rooms are the buttons, menus and forms of each room.
func rooms() []map[string]handler.Command {
	return []map[string]handler.Command{takeup.Pressed(), cutting.Pressed(), project.Pressed(), building.Pressed()}
}
