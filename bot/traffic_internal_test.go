package bot

import (
	"net/http"
	"net/http/httptest"
	"testing"
	"testing/synctest"
	"time"

	"github.com/bwmarrin/discordgo"
	"github.com/stretchr/testify/require"
)

// Every address that the bot calls has its purpose, and no id or token is in it.
func TestPurposesOfCalls(t *testing.T) {
	for address, want := range map[string]string{
		discordgo.EndpointInteractionResponse("1", "token"):                  "first answer",
		discordgo.EndpointWebhookMessage("1", "token", "@original"):          "edit",
		discordgo.EndpointWebhookToken("1", "token"):                         "follow-up",
		discordgo.EndpointApplicationGlobalCommands("1"):                     "commands",
		discordgo.EndpointApplicationGuildCommands("1", "2"):                 "commands",
		discordgo.EndpointGateway:                                            "gateway",
		discordgo.EndpointGatewayBot:                                         "gateway",
		discordgo.EndpointOAuth2Application("@me"):                           "application",
		"https://cdn.discordapp.com/ephemeral-attachments/1/2/three.sheet":   "other",
		discordgo.EndpointWebhookToken("1", "token") + "/messages/123456789": "follow-up",
	} {
		req, err := http.NewRequest(http.MethodGet, address, nil)
		require.NoError(t, err)
		require.Equal(t, want, purpose(req.URL.Path), address)
	}
}

type answering struct{ date time.Time }

func (a answering) RoundTrip(*http.Request) (*http.Response, error) {
	return &http.Response{StatusCode: http.StatusOK, Header: http.Header{"Date": {a.date.UTC().Format(http.TimeFormat)}}}, nil
}

// The platform tells its time in whole seconds: less than one is no difference.
func TestClockAhead(t *testing.T) {
	synctest.Test(t, func(t *testing.T) { // at the very beginning of a second
		for ahead, want := range map[time.Duration]time.Duration{
			0: 0, time.Second: 0, time.Second + 1: time.Second, 90 * time.Second: 89 * time.Second, time.Hour: time.Hour - time.Second,
			-1: 0, -time.Second: -time.Second, -time.Hour: -time.Hour,
		} {
			b := &Bot{traffic: &traffic{next: answering{time.Now().Add(-ahead)}, count: func(string, string) {}}}
			_, err := b.traffic.RoundTrip(httptest.NewRequest(http.MethodGet, "/", nil))
			require.NoError(t, err)
			require.Equal(t, want, b.ClockAhead(), ahead)
		}
	})
}

func TestSeldom(t *testing.T) {
	s := &seldom{every: time.Minute}
	at := func(seconds int) time.Time { return time.Unix(int64(seconds), 0) }
	for _, step := range []struct {
		second, held int
		ok           bool
	}{{0, 0, true}, {1, 0, false}, {59, 0, false}, {60, 2, true}, {61, 0, false}, {300, 1, true}, {360, 0, true}} {
		held, ok := s.allow(at(step.second))
		require.Equal(t, step.ok, ok, "second %d", step.second)
		require.Equal(t, step.held, held, "second %d", step.second)
	}
}
