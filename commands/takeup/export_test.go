package takeup

// SampleLines are the lines that /swatch add shows, for the test beside it.
func SampleLines() []string {
	var lines []string
	for _, s := range samples {
		lines = append(lines, s.example)
	}
	return lines
}
