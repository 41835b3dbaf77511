package building

import "larkfold/commands/reply"

// HuePages are the pages of colours, for the test beside them.
var HuePages = huePages

// What is what a control asks for.
func What(req reply.Request) string { return pressOf(req).what }
