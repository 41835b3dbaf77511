package bot

import (
	"errors"
	"fmt"
	"net/http"

	"github.com/bwmarrin/discordgo"
	"github.com/gorilla/websocket"
)

// Exit statuses of a process whose bot ended by itself. The numbers follow
// sysexits.h: EX_CONFIG must not be restarted, EX_TEMPFAIL should be.
const (
	ExitConfig   = 78 // the platform refuses this token or these settings; a restart changes nothing
	ExitPassing  = 75 // the platform cannot be reached, or an address is in use; a restart may help
	ExitNoStarts = 69 // EX_UNAVAILABLE: the day's session starts are spent; restart later
)

// ExitError says that the bot ended by itself, and with which status the process should exit.
type ExitError struct {
	Code    int
	Message string // one plain sentence, free of secrets
}

// Error returns the sentence.
func (e *ExitError) Error() string { return e.Message }

// ExitCode returns the status to exit with.
func (e *ExitError) ExitCode() int { return e.Code }

// refusals are the gateway's close codes after which connecting again cannot help.
var refusals = map[int]string{
	4004: "the platform refused the token; make a new one in the developer portal and set it",
	4010: "the platform refused the shard numbers; check the shards setting",
	4011: "the platform asks for more shards; raise the shards setting or leave it on auto",
	4012: "the platform no longer speaks this gateway version; update the bot",
	4013: "the platform refused the intents; update the bot",
	4014: "the platform refused the intents as not allowed for this application; update the bot",
}

// refusal returns the ExitError for an error after which a retry is useless, or nil.
func refusal(err error) *ExitError {
	var closed *websocket.CloseError
	if errors.As(err, &closed) {
		if sentence, final := refusals[closed.Code]; final {
			return &ExitError{ExitConfig, fmt.Sprintf("%s (close code %d)", sentence, closed.Code)}
		}
	}
	var rest *discordgo.RESTError
	if errors.As(err, &rest) && rest.Response != nil && rest.Response.StatusCode == http.StatusUnauthorized {
		return &ExitError{ExitConfig, refusals[4004] + " (HTTP 401)"}
	}
	return nil
}
