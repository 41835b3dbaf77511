package resize

import (
	"fmt"
	"strings"

	"larkfold/sizing/sheet"
)

// lines says of every line of the sheet that has changed what it was and what it is.
func lines(before, after sheet.Sheet) []string {
	was, is := strings.Split(sheet.Format(before), "\n"), strings.Split(sheet.Format(after), "\n")
	var changed []string
	panel := ""
	for i := range min(len(was), len(is)) {
		a, b := statement(was[i]), statement(is[i])
		if name, ok := strings.CutPrefix(a, "panel "); ok {
			panel, _, _ = strings.Cut(name, " ")
		}
		if a == b {
			continue
		}
		where := ""
		if strings.HasPrefix(was[i], " ") {
			where = panel + ": "
		}
		changed = append(changed, fmt.Sprintf("%s%s, now %s", where, a, b))
	}
	return changed
}

// statement is a line without its comment.
func statement(line string) string {
	line, _, _ = strings.Cut(line, "#")
	return strings.TrimSpace(line)
}
