package say

// Shortened is a text of so many characters at most.
func Shortened(text string, most int) string {
	r := []rune(text)
	if len(r) <= most {
		return text
	}
	return string(r[:most-1]) + "…"
}

// Narrow is how many characters a line may have on a narrow screen.
const Narrow = 26
