package commands

// list is every command, in the order that help shows them.
func (a *App) list() []Command {
	return []Command{
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

// presses is what every button, menu and form does.
func (a *App) presses() map[string]Handler {
	return map[string]Handler{
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
