package bot

import (
	"context"
	"fmt"
	"log/slog"
	"testing"
	"time"

	"larkfold/commands/reply"

	"github.com/stretchr/testify/require"
)

type constantApp struct{}

func (constantApp) Commands() []reply.Command {
	return []reply.Command{{Name: "go", Description: "Goes."}}
}

func (constantApp) Do(context.Context, reply.Request) (reply.Reply, error) {
	return reply.Reply{Blocks: []reply.Block{reply.Text("constant")}}, nil
}

func (constantApp) Complete(context.Context, reply.Request, string, string) ([]reply.Choice, error) {
	return nil, nil
}

type nowhere struct{}

func (nowhere) answer(context.Context, *interaction, response) error { return nil }

func (nowhere) takesFiles() bool { return true }

// BenchmarkReceive is what one interaction costs here, without sending the answer.
func BenchmarkReceive(b *testing.B) {
	bot, err := New(Config{App: constantApp{}, Token: "t", ApplicationID: "9", Log: slog.New(slog.DiscardHandler)})
	require.NoError(b, err)
	b.ReportAllocs()
	for n := range b.N {
		raw := fmt.Appendf(nil, `{"id":"%d","application_id":"9","type":2,"token":"token","version":1,"channel_id":"6","locale":"en-GB",`+
			`"app_permissions":"0","entitlements":[],"attachment_size_limit":10485760,"guild_id":"7","context":0,"data":{"id":"1","name":"go","type":1},`+
			`"member":{"user":{"id":"5","username":"ana","global_name":null},"permissions":"2048","nick":null,"roles":[]}}`, n+1)
		if end := bot.dispatcher.receive(context.Background(), raw, time.Now(), nowhere{}); end != outcomeAnswered {
			b.Fatal(end)
		}
	}
}
