package bot

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"math/rand/v2"
	"regexp"
	"strings"
	"sync"
	"time"

	"github.com/bwmarrin/discordgo"
)

// redactor takes secrets out of texts: the bot's token wherever it stands, and
// interaction tokens where they stand in an address or a payload.
type redactor struct{ secrets []string }

var (
	tokenInPath    = regexp.MustCompile(`((?:interactions|webhooks)/[0-9]+/)[^/\s?"']+`)
	tokenInPayload = regexp.MustCompile(`("?token"?\s*[:=]\s*)"[^"]*"`)
)

func newRedactor(token string) redactor {
	if token == "" {
		return redactor{}
	}
	return redactor{secrets: []string{token}}
}

func (r redactor) text(text string) string {
	for _, secret := range r.secrets {
		text = strings.ReplaceAll(text, secret, "[token]")
	}
	text = tokenInPath.ReplaceAllString(text, "${1}[token]")
	return tokenInPayload.ReplaceAllString(text, `${1}"[token]"`)
}

// error returns an error with the same text without secrets. The cause is cut
// off, because it would carry them on.
func (r redactor) error(err error) error {
	if err == nil {
		return nil
	}
	var exit *ExitError
	if errors.As(err, &exit) {
		return exit
	}
	return errors.New(r.text(err.Error()))
}

// attr is an error as a log attribute.
func (r redactor) attr(err error) slog.Attr {
	return slog.String("error", r.text(err.Error()))
}

// libraryLog makes the library's package-wide log hook ours, once a process:
// the hook is a plain variable and must be set before the first session.
var libraryLog sync.Once

// libraryIdentifies is what the library logs just before it identifies once more, on
// the goroutine that reads the connection, when a session is invalid. It would do so
// at once, and has no other hook where it could be made to wait.
const libraryIdentifies = "sending identify packet to gateway in response to Op9"

// beforeIdentify is how long the platform wants an invalid session to wait before it
// identifies again: a random time from 1 to 5 s.
func beforeIdentify() time.Duration { return time.Second + rand.N(4*time.Second) }

func adoptLibraryLog(log *slog.Logger) {
	libraryLog.Do(func() {
		discordgo.Logger = func(level, _ int, format string, args ...any) {
			if level == discordgo.LogInformational {
				if format == libraryIdentifies {
					time.Sleep(beforeIdentify())
				}
				return
			}
			const longest = 300
			text := redactor{}.text(fmt.Sprintf(format, args...))
			if len(text) > longest {
				text = strings.ToValidUTF8(text[:longest], "") + "…"
			}
			at := slog.LevelInfo
			switch {
			case strings.Contains(text, "unknown component type"): // of a form: we read it ourselves
				at = slog.LevelDebug
			case level == discordgo.LogError, level == discordgo.LogWarning:
				at = slog.LevelWarn
			}
			log.Log(context.Background(), at, "platform library", "text", text)
		}
	})
}
