package commands

import "larkfold/commands/sitting"

// list is every command, in the order that help shows them.
func list(kept Retention, help command) []command {
	return []command{
		cordCommand(),
		cutCommand(),
		wrapCommand(),
		convertCommand(),
		projectCommand(),
		buildCommand(),
		workCommand(),
		fringeCommand(),
		dowelCommand(),
		planCommand(),
		shelfCommand(),
		swatchCommand(),
		knotsCommand(),
		ruleCommand(),
		sharingCommand(),
		prefsCommand(),
		myDataCommand(kept),
		help,
		messageCommand(),
	}
}

// pressed is what every button, menu and form does.
func pressed() map[string]command {
	return map[string]command{
		"sheet.save":      {run: askName, reads: sitting.Draft},
		"sheet.named":     {run: saveNamed, reads: sitting.Draft | sitting.Knots},
		"sheet.show":      {run: showSheet, reads: sitting.Draft},
		"sheet.cord":      {run: askCord, reads: sitting.Draft},
		"sheet.recorded":  {run: inCord, reads: sitting.Draft | sitting.Sheets},
		"sheet.why":       {run: whyPressed, reads: sitting.Draft | sitting.Sheets},
		"sheet.short":     {run: askShort, reads: sitting.Draft},
		"sheet.shorted":   {run: shortPressed, reads: sitting.Draft | sitting.Sheets},
		"sheet.edit":      {run: mendSheet, reads: sitting.Draft},
		"share.keep":      {run: keepCopy, reads: sitting.Share},
		"share.cord":      {run: sharedInCord, reads: sitting.Share},
		"share.plan":      {run: sharedCutting, reads: sitting.Share | sitting.Sheets | sitting.Leftovers},
		"share.units":     {run: sharedUnits, reads: sitting.Share | sitting.Sheets},
		"plan.book":       {run: takePressed, reads: sitting.Draft | sitting.Leftovers},
		"knot.write":      {run: writeKnot, reads: sitting.Draft | sitting.Sheets},
		"knot.mend":       {run: mendKnot, reads: sitting.Draft},
		"project.edit":    {run: editPressed, reads: sitting.Draft | sitting.Design},
		"build.start":     {run: buildStart, reads: sitting.Sheets | sitting.Leftovers},
		"build.view":      {run: buildView, reads: inBuild},
		"build.ask":       {run: buildAsk, reads: inBuild},
		"build.do":        {run: buildDo, reads: inBuild},
		"build.filled":    {run: buildFilled, reads: inBuild},
		"build.mend":      {run: buildMend, reads: sitting.Draft},
		"build.work":      {run: buildWork, reads: inBuild | sitting.Underway},
		"build.share":     {run: buildShare, reads: inBuild | sitting.Design | sitting.Settings},
		"build.other":     {run: buildOther, reads: sitting.Sheets | sitting.Underway},
		"build.shared":    {run: buildShared, reads: sitting.Share | sitting.Sheets},
		"work.sized":      {run: workSized, reads: sitting.Draft | sitting.Sheets | sitting.Underway},
		"work.shared":     {run: workShared, reads: sitting.Share | sitting.Sheets | sitting.Underway},
		"work.step":       {run: workStep, reads: sitting.Draft | sitting.Sheets},
		"work.knot":       {run: workKnot, reads: sitting.Draft | sitting.Sheets},
		"work.stop":       {run: workStop, reads: sitting.Draft | sitting.Sheets},
		"work.other":      {run: workOther, reads: sitting.Sheets | sitting.Underway},
		"project.write":   {run: writeForm, reads: sitting.Draft | sitting.Sheets},
		"project.replace": {run: replaceProject, reads: sitting.Draft | sitting.Sheets},
	}
}
