package building

import (
	"larkfold/commands/handler"
	"larkfold/commands/sitting"
)

// Pressed is what the buttons, menus and forms of this room do, by the names of their actions.
func Pressed() map[string]handler.Command {
	return map[string]handler.Command{
		"build.start":  {Run: buildStart, Reads: sitting.Sheets | sitting.Leftovers},
		"build.view":   {Run: buildView, Reads: inBuild},
		"build.ask":    {Run: buildAsk, Reads: inBuild},
		"build.do":     {Run: buildDo, Reads: inBuild},
		"build.filled": {Run: buildFilled, Reads: inBuild},
		"build.mend":   {Run: buildMend, Reads: sitting.Draft},
		"build.work":   {Run: buildWork, Reads: inBuild | sitting.Underway},
		"build.share":  {Run: buildShare, Reads: inBuild | sitting.Design | sitting.Settings},
		"build.other":  {Run: buildOther, Reads: sitting.Sheets | sitting.Designs | sitting.Underway},
		"build.shared": {Run: buildShared, Reads: sitting.Share | sitting.Sheets},
		"work.sized":   {Run: workSized, Reads: sitting.Draft | sitting.Sheets | sitting.Underway},
		"work.shared":  {Run: workShared, Reads: sitting.Share | sitting.Sheets | sitting.Underway},
		"work.step":    {Run: workStep, Reads: sitting.Draft | sitting.Sheets},
		"work.knot":    {Run: workKnot, Reads: sitting.Draft | sitting.Sheets},
		"work.stop":    {Run: workStop, Reads: sitting.Draft | sitting.Sheets},
		"work.other":   {Run: workOther, Reads: sitting.Sheets | sitting.Underway},
	}
}
