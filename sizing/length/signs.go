package length

import "regexp"

var imperialSigns = regexp.MustCompile(`(?i)[0-9½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒]\s*("|“|”|″|'|’|‘|′|ins?\b|inch|ft\b|foot|feet|yds?\b|yard|fathom)`)

// WrittenImperial counts the numbers of a text that have feet, inches, yards or fathoms
// behind them.
func WrittenImperial(text string) int { return len(imperialSigns.FindAllString(text, -1)) }
