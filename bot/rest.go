package bot

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"time"

	"larkfold/bot/fit"

	"github.com/bwmarrin/discordgo"
	"github.com/cenkalti/backoff/v5"
)

// Error codes of the platform.
const (
	codeUnknownInteraction  = 10062 // too late, or never was
	codeAlreadyAcknowledged = 40060
	codeInvalidBody         = 50035
)

// rest makes REST calls through a session that is never opened, so that nothing
// a gateway connection does can hold one up. How long a call may take is in its
// context: a timeout of the client would cost each call another timer.
type rest struct {
	session *discordgo.Session
	timing  Timing
}

// newSession is a session of the library without intents and without a state cache.
func newSession(token string, client *http.Client) (*discordgo.Session, error) {
	authorization := ""
	if token != "" {
		authorization = "Bot " + token
	}
	session, err := discordgo.New(authorization)
	if err != nil {
		return nil, err
	}
	session.Client = client
	session.Identify.Intents = discordgo.IntentsNone
	session.StateEnabled = false
	session.SyncEvents = false
	session.LogLevel = discordgo.LogInformational // see libraryIdentifies; the rest of that level is dropped
	session.ShouldReconnectOnError = false        // the shard does, knowing the close codes
	session.ShouldRetryOnRateLimit = false        // the library would sleep for as long as it is told
	session.UserAgent = "DiscordBot (larkfold, 1)"
	return session, nil
}

// callPatience is how long a call may take that belongs to no interaction.
const callPatience = 20 * time.Second

// newClient is the HTTP client for the platform, or for what stands in for it.
func newClient(platformURL string) (*http.Client, error) {
	transport := http.DefaultTransport.(*http.Transport).Clone()
	transport.MaxIdleConnsPerHost = 64
	client := &http.Client{Timeout: callPatience, Transport: transport}
	if platformURL != "" {
		base, err := url.Parse(platformURL)
		if err != nil {
			return nil, err
		}
		client.Transport = redirect{base, transport}
	}
	return client, nil
}

// redirect sends the platform's requests to another address, and no other request anywhere.
type redirect struct {
	base *url.URL
	next http.RoundTripper
}

func (r redirect) RoundTrip(req *http.Request) (*http.Response, error) {
	if host := req.URL.Hostname(); host != "discord.com" && host != "cdn.discordapp.com" {
		return nil, fmt.Errorf("refusing to call host %q while the platform is at %s", host, r.base)
	}
	req = req.Clone(req.Context())
	req.URL.Scheme, req.URL.Host, req.Host = r.base.Scheme, r.base.Host, r.base.Host
	return r.next.RoundTrip(req)
}

// call makes one attempt of a REST call, without any of the library's retries,
// which a context cannot stop. The limiter belongs to one interaction: the
// library keeps a bucket for every address for ever, and each interaction has its own.
func (r *rest) call(ctx context.Context, limiter *discordgo.RateLimiter, method, address, contentType string, body []byte) ([]byte, error) {
	return r.session.RequestWithLockedBucket(method, address, contentType, body, limiter.LockBucket(address), 0,
		discordgo.WithContext(ctx), discordgo.WithRestRetries(0))
}

// read makes one attempt of a call outside any interaction and decodes what it
// returns. Its limiter is its own as well, because the library's sleeps.
func (r *rest) read(ctx context.Context, method, address string, body, into any) error {
	var raw []byte
	if body != nil {
		var err error
		if raw, err = json.Marshal(body); err != nil {
			return err
		}
	}
	ctx, cancel := context.WithTimeout(ctx, callPatience)
	defer cancel()
	answer, err := r.call(ctx, discordgo.NewRatelimiter(), method, address, "application/json", raw)
	if err != nil {
		return err
	}
	return json.Unmarshal(answer, into)
}

func (r *rest) takesFiles() bool { return true }

// answer sends the first answer, again and again while the platform would still
// take it. That an earlier try had arrived after all is then no error.
func (r *rest) answer(ctx context.Context, in *interaction, resp response) error {
	contentType, body, err := encode(resp, resp.files)
	if err != nil {
		return err
	}
	left := time.Until(in.answerBy(r.timing))
	if least := r.timing.FirstAnswer / 6; left < least {
		left = least // one try, for a clock can be wrong
	}
	address := discordgo.EndpointInteractionResponse(in.ID, in.Token)
	end := time.Now().Add(left)
	err = r.retry(ctx, 40*time.Millisecond, left, func() error {
		_, err := r.try(ctx, min(time.Until(end), r.timing.FirstAnswer/4), in, http.MethodPost, address, contentType, body)
		return err
	})
	if errorCode(err) == codeAlreadyAcknowledged {
		return nil
	}
	return err
}

// try makes one attempt of a call that belongs to an interaction. One that hangs
// leaves time for another.
func (r *rest) try(ctx context.Context, patience time.Duration, in *interaction, method, address, contentType string, body []byte) ([]byte, error) {
	try, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	answer, err := r.call(try, in.limiter, method, address, contentType, body)
	if err != nil && try.Err() != nil && ctx.Err() == nil {
		return nil, temporary{err}
	}
	return answer, err
}

// theAnswer is the message that the first answer is or was filled in with.
const theAnswer = "@original"

// edit replaces a message that belongs to an interaction. It is the only way that a
// deferred answer is filled in.
func (r *rest) edit(ctx context.Context, in *interaction, message string, m *fit.Message) error {
	address := discordgo.EndpointWebhookMessage(in.ApplicationID, in.Token, message)
	_, err := r.send(ctx, in, http.MethodPatch, address, m)
	return err
}

// followUp sends another message after the first answer and returns its id.
func (r *rest) followUp(ctx context.Context, in *interaction, m *fit.Message) (id string, err error) {
	answer, err := r.send(ctx, in, http.MethodPost, discordgo.EndpointWebhookToken(in.ApplicationID, in.Token), m)
	if err != nil {
		return "", err
	}
	var sent struct{ ID string }
	if err := json.Unmarshal(answer, &sent); err != nil || !fit.IsID(sent.ID) {
		return "", nil // it is there all the same
	}
	return sent.ID, nil
}

func (r *rest) send(ctx context.Context, in *interaction, method, address string, m *fit.Message) (answer []byte, err error) {
	contentType, body, err := encode(m, m.Files)
	if err != nil {
		return nil, err
	}
	const slowest = 128 << 10 // bytes a second of a line that is still of use
	upload := time.Duration(len(body)) * time.Second / slowest
	const earlyTries = 4 // while the first answer may still be on its way
	missing := 0
	err = r.retry(ctx, 150*time.Millisecond, r.timing.Edit, func() error {
		answer, err = r.try(ctx, r.timing.Edit/12+upload, in, method, address, contentType, body)
		if status(err) == http.StatusNotFound {
			if missing++; missing < earlyTries {
				return temporary{err}
			}
		}
		return err
	})
	return answer, err
}

// temporary marks an error as one that a retry may cure.
type temporary struct{ error }

func (t temporary) Unwrap() error { return t.error }

// retry repeats a call while it makes sense: on a rate limit after the time that
// the platform asks for, on a server's or the network's fault with back-off.
// As many attempts are made as fit into longest, the second after about first.
func (r *rest) retry(ctx context.Context, first, longest time.Duration, call func() error) error {
	began := time.Now()
	last := call()
	after := classify(last)
	if last == nil || errors.As(after, new(*backoff.PermanentError)) {
		return last
	}
	wait := backoff.NewExponentialBackOff()
	wait.InitialInterval = first
	wait.MaxInterval = longest / 12
	tried := true
	_, err := backoff.Retry(ctx, func() (struct{}, error) {
		if tried { // the first time is behind us
			tried = false
			return struct{}{}, after
		}
		last = call()
		return struct{}{}, classify(last)
	}, backoff.WithBackOff(wait), backoff.WithMaxElapsedTime(max(longest-time.Since(began), 1)))
	if err == nil {
		return nil
	}
	return last
}

func classify(err error) error {
	if err == nil {
		return nil
	}
	var limited *discordgo.RateLimitError
	if errors.As(err, &limited) {
		return &backoff.RetryAfterError{Duration: max(limited.RetryAfter, time.Millisecond)}
	}
	var page *json.SyntaxError // a rate limit of the edge comes as a page of HTML
	if errors.As(err, &page) {
		return err
	}
	if errors.As(err, new(temporary)) || status(err) >= http.StatusInternalServerError {
		return err
	}
	var network *url.Error
	if errors.As(err, &network) && !errors.Is(err, context.Canceled) && !errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return backoff.Permanent(err)
}

// status is the HTTP status that a call failed with, or 0.
func status(err error) int {
	var failed *discordgo.RESTError
	if errors.As(err, &failed) && failed.Response != nil {
		return failed.Response.StatusCode
	}
	if err != nil && strings.HasPrefix(err.Error(), "Exceeded Max retries HTTP 502") {
		return http.StatusBadGateway // the library keeps no typed error for this one
	}
	return 0
}

// errorCode is the platform's own code of a failed call, or 0.
func errorCode(err error) int {
	var failed *discordgo.RESTError
	if errors.As(err, &failed) && failed.Message != nil {
		return failed.Message.Code
	}
	return 0
}
