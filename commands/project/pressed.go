package project

import (
	"larkfold/commands/handler"
	"larkfold/commands/sitting"
)

// Pressed is what the buttons, menus and forms of this room do, by the names of their actions.
func Pressed() map[string]handler.Command {
	return map[string]handler.Command{
		"sheet.save":      {Run: askName, Reads: sitting.Draft},
		"sheet.named":     {Run: saveNamed, Reads: sitting.Draft | sitting.Knots},
		"sheet.show":      {Run: showSheet, Reads: sitting.Draft},
		"sheet.cord":      {Run: askCord, Reads: sitting.Draft},
		"sheet.recorded":  {Run: inCord, Reads: sitting.Draft | sitting.Sheets},
		"sheet.why":       {Run: whyPressed, Reads: sitting.Draft | sitting.Sheets},
		"sheet.short":     {Run: askShort, Reads: sitting.Draft},
		"sheet.shorted":   {Run: shortPressed, Reads: sitting.Draft | sitting.Sheets},
		"sheet.edit":      {Run: mendSheet, Reads: sitting.Draft},
		"share.keep":      {Run: keepCopy, Reads: sitting.Share},
		"share.cord":      {Run: sharedInCord, Reads: sitting.Share},
		"share.plan":      {Run: sharedCutting, Reads: sitting.Share | sitting.Sheets | sitting.Leftovers},
		"share.units":     {Run: sharedUnits, Reads: sitting.Share | sitting.Sheets},
		"project.edit":    {Run: editPressed, Reads: sitting.Draft | sitting.Design},
		"project.write":   {Run: writeForm, Reads: sitting.Draft | sitting.Sheets},
		"project.replace": {Run: replaceProject, Reads: sitting.Draft | sitting.Sheets},
	}
}
