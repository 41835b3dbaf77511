package fit

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"larkfold/commands/reply"
)

// A custom id is `lf1|slot|version|name|key|op`. The slot numbers the controls
// of one message, so that two controls that do the same still differ. The
// platform allows 100 characters.
const (
	customIDFormat = "lf1"
	customIDLength = 100
)

// ErrStale says that a custom id is foreign, or of a version before this one.
var ErrStale = errors.New("the custom id is not one of this version")

var (
	escapeCustomID   = strings.NewReplacer("%", "%25", "|", "%7C")
	unescapeCustomID = strings.NewReplacer("%7C", "|", "%25", "%")
)

// EncodeAction writes an action as the custom id of one control. It refuses one
// that does not fit.
func EncodeAction(slot int, do reply.Action) (string, error) {
	id := strings.Join([]string{
		customIDFormat, strconv.FormatInt(int64(slot), 36), strconv.Itoa(do.Version),
		escapeCustomID.Replace(do.Name), escapeCustomID.Replace(do.Key), escapeCustomID.Replace(do.Op),
	}, "|")
	if n := Units(id); n > customIDLength {
		return "", fmt.Errorf("the custom id of action %q has %d characters, the platform allows %d", do.Name, n, customIDLength)
	}
	if do.Name == "" {
		return "", errors.New("an action needs a name")
	}
	return id, nil
}

// DecodeAction reads what EncodeAction wrote. Anything else is stale or foreign.
func DecodeAction(id string) (reply.Action, error) {
	parts := strings.Split(id, "|")
	if len(parts) != 6 || parts[0] != customIDFormat || parts[3] == "" {
		return reply.Action{}, ErrStale
	}
	version, err := strconv.Atoi(parts[2])
	if err != nil {
		return reply.Action{}, ErrStale
	}
	return reply.Action{
		Name:    unescapeCustomID.Replace(parts[3]),
		Version: version,
		Key:     unescapeCustomID.Replace(parts[4]),
		Op:      unescapeCustomID.Replace(parts[5]),
	}, nil
}

var snowflake = regexp.MustCompile(`^[0-9]{1,20}$`)

// IsID tells whether a text has the form of the platform's ids, which it calls snowflakes.
func IsID(text string) bool { return snowflake.MatchString(text) }
