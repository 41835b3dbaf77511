package bot

import (
	"bytes"
	"encoding/json"

	"larkfold/bot/fit"

	"github.com/bwmarrin/discordgo"
)

// Kinds of first answer.
const (
	answerPong       = 1
	answerMessage    = 4
	answerDeferred   = 5
	answerCompletion = 8
	answerModal      = 9
)

type completion struct {
	Choices []completionChoice `json:"choices"`
}

type completionChoice struct {
	Name  string `json:"name"`
	Value string `json:"value"`
}

// response is a first answer.
type response struct {
	Type int `json:"type"`
	Data any `json:"data,omitempty"`

	files []fit.File
}

// encode returns the body of a REST call. It can be sent again, unlike a reader.
func encode(payload any, files []fit.File) (contentType string, body []byte, err error) {
	if len(files) == 0 {
		body, err = json.Marshal(payload)
		return "application/json", body, err
	}
	parts := make([]*discordgo.File, len(files))
	for i, f := range files {
		parts[i] = &discordgo.File{Name: f.Name, Reader: bytes.NewReader(f.Data)}
	}
	return discordgo.MultipartBodyWithJSON(payload, parts)
}
