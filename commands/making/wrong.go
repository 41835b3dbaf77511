package making

import "fmt"

// Wrong is an edit that cannot be made, in a sentence for the member.
type Wrong struct{ Why string }

func (w *Wrong) Error() string { return w.Why }

func wrong(format string, values ...any) error { return &Wrong{fmt.Sprintf(format, values...)} }
