package slip

// Meanings and Otherwise are what the names of options say, for the tests beside them.
var (
	Meanings  = meanings
	Otherwise = otherwise
)

// Long and Thick tell which options take a length, and which a thickness.
func (s sense) Long() bool  { return s.read == asLength }
func (s sense) Thick() bool { return s.read == asThickness }
