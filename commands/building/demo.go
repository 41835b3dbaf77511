package building

import (
	"path"
	"strings"

	"larkfold/commands/reply"
	"larkfold/testdata"
)

// demos are the demo designs, as the choices of an option.
func demos() []reply.Choice {
	files, err := testdata.Sheets.ReadDir("sheets")
	if err != nil {
		return nil
	}
	var all []reply.Choice
	for _, f := range files {
		name := strings.TrimSuffix(f.Name(), ".sheet")
		all = append(all, reply.Choice{Name: strings.ReplaceAll(name, "-", " "), Value: name})
	}
	return all
}

// demoSheet is the working sheet of a demo design.
func demoSheet(name string) (string, error) {
	text, err := testdata.Sheets.ReadFile(path.Join("sheets", name+".sheet"))
	return string(text), err
}
