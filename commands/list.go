package commands

import (
	"context"
	"strings"

	"larkfold/commands/reply"
)

// handler answers one request. It never sends anything itself.
type handler func(ctx context.Context, req reply.Request) (reply.Reply, error)

// command is what answers a slash command, with its description; or a group with
// the commands under it.
type command struct {
	run handler
	reply.Command
	sub []command
}

// describe is a command's description with those under it. What answers them is
// noted by their paths.
func (a *App) describe(c command, above string) reply.Command {
	described := c.Command
	path := strings.TrimSpace(above + " " + c.Name)
	if c.run != nil {
		a.handlers[path] = c.run
	}
	for _, s := range c.sub {
		described.Sub = append(described.Sub, a.describe(s, path))
	}
	return described
}

// list is every command, in the order that help shows them.
func (a *App) list() []command {
	return []command{
		a.cordCommand(),
		a.cutCommand(),
		a.wrapCommand(),
		a.convertCommand(),
		a.projectCommand(),
		a.fringeCommand(),
		a.dowelCommand(),
		a.planCommand(),
		a.shelfCommand(),
		a.swatchCommand(),
		a.knotsCommand(),
		a.ruleCommand(),
		a.sharingCommand(),
		a.prefsCommand(),
		a.myDataCommand(),
		a.helpCommand(),
		a.messageCommand(),
	}
}

// pressed is what every button, menu and form does.
func (a *App) pressed() map[string]handler {
	return map[string]handler{
		"sheet.save":      a.askName,
		"sheet.named":     a.saveNamed,
		"sheet.show":      a.showSheet,
		"sheet.cord":      a.askCord,
		"sheet.recorded":  a.inCord,
		"sheet.why":       a.whyPressed,
		"sheet.edit":      a.mendSheet,
		"share.keep":      a.keepCopy,
		"share.cord":      a.sharedInCord,
		"share.plan":      a.sharedCutting,
		"share.units":     a.sharedUnits,
		"plan.book":       a.bookPressed,
		"knot.write":      a.writeKnot,
		"knot.mend":       a.mendKnot,
		"project.edit":    a.editPressed,
		"project.write":   a.write,
		"project.replace": a.replaceProject,
	}
}
