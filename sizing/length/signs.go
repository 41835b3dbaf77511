package length

import "regexp"

var metricSigns = regexp.MustCompile(`(?i)[0-9]\s*(?:mm|cm|m)\b`)

var imperialSigns = regexp.MustCompile(`(?i)[0-9½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒]\s*("|“|”|″|'|’|‘|′|ins?\b|inch|ft\b|foot|feet|yds?\b|yard|fathom)`)

// WrittenImperial counts the numbers of a text that have feet, inches, yards or fathoms
// behind them.
func WrittenImperial(text string) int { return len(imperialSigns.FindAllString(text, -1)) }

// WrittenMetric counts the numbers of a text that have a metric unit of length behind them.
func WrittenMetric(text string) int { return len(metricSigns.FindAllString(text, -1)) }
