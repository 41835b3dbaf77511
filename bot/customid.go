package bot

import (
	"errors"
	"fmt"
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

var errStaleCustomID = errors.New("the custom id is not one of this version")

var (
	escapeCustomID   = strings.NewReplacer("%", "%25", "|", "%7C")
	unescapeCustomID = strings.NewReplacer("%7C", "|", "%25", "%")
)

// encodeAction writes an action as the custom id of one control. It refuses one
// that does not fit.
func encodeAction(slot int, do reply.Action) (string, error) {
	id := strings.Join([]string{
		customIDFormat, strconv.FormatInt(int64(slot), 36), strconv.Itoa(do.Version),
		escapeCustomID.Replace(do.Name), escapeCustomID.Replace(do.Key), escapeCustomID.Replace(do.Op),
	}, "|")
	if n := units(id); n > customIDLength {
		return "", fmt.Errorf("the custom id of action %q has %d characters, the platform allows %d", do.Name, n, customIDLength)
	}
	if do.Name == "" {
		return "", errors.New("an action needs a name")
	}
	return id, nil
}

// decodeAction reads what encodeAction wrote. Anything else is stale or foreign.
func decodeAction(id string) (reply.Action, error) {
	parts := strings.Split(id, "|")
	if len(parts) != 6 || parts[0] != customIDFormat || parts[3] == "" {
		return reply.Action{}, errStaleCustomID
	}
	version, err := strconv.Atoi(parts[2])
	if err != nil {
		return reply.Action{}, errStaleCustomID
	}
	return reply.Action{
		Name:    unescapeCustomID.Replace(parts[3]),
		Version: version,
		Key:     unescapeCustomID.Replace(parts[4]),
		Op:      unescapeCustomID.Replace(parts[5]),
	}, nil
}
