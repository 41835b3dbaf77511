package picture

import (
	"context"

	"larkfold/commands/picture/paint"
	"larkfold/sizing"
)

// Sheets are the pages of a print as drawings, for the tests beside it.
func Sheets(sized sizing.Sized, o Options) []*paint.Drawing {
	pages, _ := sheets(context.Background(), sized, o)
	return pages
}
