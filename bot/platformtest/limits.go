package platformtest

import (
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
	"unicode/utf16"
)

// The limits below are the platform's documented ones (resources/message,
// components/reference, interactions/receiving-and-responding and
// application-commands, as of August 2026). Lengths are counted in UTF-16
// units, which never counts less than the platform.

// checker gathers what is wrong, each with the path to it.
type checker struct{ faults []string }

func (c *checker) fault(path, format string, args ...any) {
	c.faults = append(c.faults, path+": "+fmt.Sprintf(format, args...))
}

func length(text string) int { return len(utf16.Encode([]rune(text))) }

// text checks a text of between least and most units; an absent one counts as empty.
func (c *checker) text(path string, v any, least, most int) string {
	s, ok := v.(string)
	if !ok && v != nil {
		c.fault(path, "is not a text")
		return ""
	}
	if n := length(s); n < least || n > most {
		c.fault(path, "must be %d to %d in length, is %d", least, most, n)
	}
	return s
}

// shown checks a text that people see, which blanks alone do not make.
func (c *checker) shown(path string, v any, least, most int) string {
	s := c.text(path, v, least, most)
	if s != "" && strings.TrimSpace(s) == "" {
		c.fault(path, "is blank")
	}
	return s
}

func (c *checker) whole(path string, v any, least, most float64) float64 {
	n, ok := v.(float64)
	if !ok {
		c.fault(path, "is not a number")
		return 0
	}
	if n < least || n > most || n != float64(int64(n)) {
		c.fault(path, "must be a whole number from %v to %v, is %v", least, most, n)
	}
	return n
}

func list(v any) []any {
	l, _ := v.([]any)
	return l
}

func object(v any) map[string]any {
	m, _ := v.(map[string]any)
	return m
}

const (
	flagSuppressEmbeds = 1 << 2
	flagEphemeral      = 1 << 6
	flagComponentsV2   = 1 << 15
)

// checkAnswer checks a first answer to an interaction of a kind.
func checkAnswer(kind int, u upload, fileLimit int) []string {
	allowed := map[int][]int{1: {1}, 2: {4, 5, 9}, 3: {4, 5, 6, 7, 9}, 4: {8}, 5: {4, 5, 6, 7}}
	c := &checker{}
	answer := int(c.whole("type", u.payload["type"], 1, 12))
	ok := false
	for _, a := range allowed[kind] {
		ok = ok || a == answer
	}
	if !ok {
		c.fault("type", "%d is no answer to an interaction of kind %d", answer, kind)
		return c.faults
	}
	data := object(u.payload["data"])
	if len(u.files) > 0 && answer != 4 && answer != 7 {
		c.fault("files", "only a message takes files")
	}
	switch answer {
	case 4, 7:
		return append(c.faults, checkMessage(data, u, fileLimit)...)
	case 5, 6:
		for key := range data {
			if key != "flags" {
				c.fault("data."+key, "a deferral takes only flags")
			}
		}
		if f := int(number(data["flags"])); f&^flagEphemeral != 0 {
			c.fault("data.flags", "a deferral takes only the ephemeral flag, not %d", f)
		}
	case 8:
		c.choices("data.choices", data["choices"], false)
	case 9:
		c.modal(data)
	}
	return c.faults
}

func (c *checker) choices(path string, v any, numbers bool) {
	choices, ok := v.([]any)
	if !ok {
		c.fault(path, "must be a list")
	}
	if len(choices) > 25 {
		c.fault(path, "must be 25 or fewer in length, is %d", len(choices))
	}
	seen := map[string]bool{}
	for i, item := range choices {
		at := fmt.Sprintf("%s[%d]", path, i)
		choice := object(item)
		name := c.text(at+".name", choice["name"], 1, 100)
		if numbers {
			c.whole(at+".value", choice["value"], -(1 << 53), 1<<53)
		} else {
			c.text(at+".value", choice["value"], 0, 100)
		}
		if seen[name] {
			c.fault(at, "name %q is there twice", name)
		}
		seen[name] = true
	}
}

// checkMessage checks a message to be posted or to replace one.
func checkMessage(m map[string]any, u upload, fileLimit int) []string {
	c := &checker{}
	if m == nil {
		return []string{"data: there is none"}
	}
	flags := int(number(m["flags"]))
	if flags&^(flagSuppressEmbeds|flagEphemeral|flagComponentsV2|1<<12) != 0 {
		c.fault("flags", "%d cannot be set", flags)
	}
	content := c.text("content", m["content"], 0, 2000)
	embeds, components := list(m["embeds"]), list(m["components"])
	if flags&flagComponentsV2 != 0 {
		if content != "" || len(embeds) > 0 {
			c.fault("flags", "components v2 take neither content nor embeds")
		}
		if n := countComponents(components); n > 40 {
			c.fault("components", "must be 40 or fewer in all, are %d", n)
		}
	} else {
		c.rows(components)
	}
	if strings.TrimSpace(content) == "" && len(embeds) == 0 && len(u.files) == 0 && len(components) == 0 {
		c.fault("content", "cannot send an empty message (%d)", codeEmptyMessage)
	}
	names := c.files(m, u, fileLimit)
	c.embeds(embeds, names)
	mentions, ok := m["allowed_mentions"].(map[string]any)
	if parse, isList := mentions["parse"].([]any); !ok || !isList || len(parse) > 0 {
		c.fault("allowed_mentions", "this message could ping somebody")
	}
	return c.faults
}

func (c *checker) files(m map[string]any, u upload, fileLimit int) map[string]bool {
	names := map[string]bool{}
	if len(u.files) > 10 {
		c.fault("files", "must be 10 or fewer, are %d", len(u.files))
	}
	if u.size > 25<<20 {
		c.fault("files", "request entity too large: %d bytes", u.size)
	}
	described := map[string]map[string]any{}
	for i, item := range list(m["attachments"]) {
		a := object(item)
		at := fmt.Sprintf("attachments[%d]", i)
		c.text(at+".description", a["description"], 0, 1024)
		described[fmt.Sprint(a["id"])] = a
	}
	for i, f := range u.files {
		at := fmt.Sprintf("files[%d]", i)
		if len(f.Data) > fileLimit {
			c.fault(at, "too large: %d bytes", len(f.Data))
		}
		if f.Name == "" || names[f.Name] {
			c.fault(at, "name %q is empty or there twice", f.Name)
		}
		names[f.Name] = true
		a := described[fmt.Sprint(i)]
		if a == nil || a["filename"] != f.Name {
			c.fault(at, "%q is not described in attachments", f.Name)
		}
	}
	if len(described) != len(u.files) {
		c.fault("attachments", "%d are described and %d uploaded", len(described), len(u.files))
	}
	return names
}

var attachmentURL = regexp.MustCompile(`^attachment://([A-Za-z0-9._-]+)$`)

func (c *checker) embeds(embeds []any, files map[string]bool) {
	if len(embeds) > 10 {
		c.fault("embeds", "must be 10 or fewer, are %d", len(embeds))
	}
	total := 0
	for i, item := range embeds {
		e := object(item)
		at := fmt.Sprintf("embeds[%d]", i)
		title := c.text(at+".title", e["title"], 0, 256)
		description := c.text(at+".description", e["description"], 0, 4096)
		footer := c.text(at+".footer.text", object(e["footer"])["text"], 0, 2048)
		author := c.text(at+".author.name", object(e["author"])["name"], 0, 256)
		total += length(title) + length(description) + length(footer) + length(author)
		fields := list(e["fields"])
		if len(fields) > 25 {
			c.fault(at+".fields", "must be 25 or fewer, are %d", len(fields))
		}
		for j, f := range fields {
			field := object(f)
			total += length(c.text(fmt.Sprintf("%s.fields[%d].name", at, j), field["name"], 1, 256))
			total += length(c.text(fmt.Sprintf("%s.fields[%d].value", at, j), field["value"], 1, 1024))
		}
		image, _ := object(e["image"])["url"].(string)
		if image != "" {
			if m := attachmentURL.FindStringSubmatch(image); m == nil || !files[m[1]] {
				c.fault(at+".image.url", "%q is not a file of this message", image)
			}
		}
		if strings.TrimSpace(title+description+footer+author) == "" && len(fields) == 0 && image == "" {
			c.fault(at, "is empty")
		}
	}
	if total > 6000 {
		c.fault("embeds", "size exceeds the maximum of 6000: %d", total)
	}
}

func (c *checker) rows(rows []any) {
	if len(rows) > 5 {
		c.fault("components", "must be 5 or fewer, are %d", len(rows))
	}
	ids := map[string]bool{}
	for i, item := range rows {
		row := object(item)
		at := fmt.Sprintf("components[%d]", i)
		if number(row["type"]) != 1 {
			c.fault(at+".type", "must be an action row")
			continue
		}
		inside := list(row["components"])
		if len(inside) < 1 || len(inside) > 5 {
			c.fault(at+".components", "must be 1 to 5, are %d", len(inside))
		}
		for j, item := range inside {
			control := object(item)
			at := fmt.Sprintf("%s.components[%d]", at, j)
			switch number(control["type"]) {
			case 2:
				c.button(at, control, ids)
			case 3:
				if len(inside) != 1 {
					c.fault(at, "a menu needs a row of its own")
				}
				c.menu(at, control, ids)
			default:
				c.fault(at+".type", "%v does not belong in a message's row", control["type"])
			}
		}
	}
}

func (c *checker) customID(at string, v any, ids map[string]bool) {
	id := c.text(at+".custom_id", v, 1, 100)
	if ids[id] {
		c.fault(at+".custom_id", "component custom id cannot be duplicated: %q", id)
	}
	ids[id] = true
}

func (c *checker) button(at string, b map[string]any, ids map[string]bool) {
	style := c.whole(at+".style", b["style"], 1, 6)
	least := 1
	if b["emoji"] != nil {
		least = 0
	}
	c.shown(at+".label", b["label"], least, 80)
	if style == 5 {
		c.text(at+".url", b["url"], 1, 512)
		return
	}
	c.customID(at, b["custom_id"], ids)
}

func (c *checker) menu(at string, m map[string]any, ids map[string]bool) {
	c.customID(at, m["custom_id"], ids)
	c.text(at+".placeholder", m["placeholder"], 0, 150)
	options := list(m["options"])
	if len(options) < 1 || len(options) > 25 {
		c.fault(at+".options", "must be 1 to 25, are %d", len(options))
	}
	least, most := 1.0, 1.0
	if m["min_values"] != nil {
		least = c.whole(at+".min_values", m["min_values"], 0, 25)
	}
	if m["max_values"] != nil {
		most = c.whole(at+".max_values", m["max_values"], 1, 25)
	}
	if most < least || int(most) > max(1, len(options)) {
		c.fault(at, "%v to %v of %d options cannot be chosen", least, most, len(options))
	}
	if n := defaults(m); n > int(most) {
		c.fault(at+".options", "%d are chosen from the start, %v can be", n, most)
	}
	values := map[string]bool{}
	for i, item := range options {
		o := object(item)
		at := fmt.Sprintf("%s.options[%d]", at, i)
		c.shown(at+".label", o["label"], 1, 100)
		value := c.text(at+".value", o["value"], 1, 100)
		c.text(at+".description", o["description"], 0, 100)
		if values[value] {
			c.fault(at+".value", "option value is already used: %q", value)
		}
		values[value] = true
	}
}

func (c *checker) modal(m map[string]any) {
	c.shown("data.title", m["title"], 1, 45)
	c.text("data.custom_id", m["custom_id"], 1, 100)
	top := list(m["components"])
	if len(top) < 1 || len(top) > 5 {
		c.fault("data.components", "must be 1 to 5, are %d", len(top))
	}
	ids := map[string]bool{}
	for i, item := range top {
		at := fmt.Sprintf("data.components[%d]", i)
		part := object(item)
		switch number(part["type"]) {
		case 18:
			c.shown(at+".label", part["label"], 1, 45)
			c.text(at+".description", part["description"], 0, 100)
			c.input(at+".component", object(part["component"]), ids)
		case 1:
			if inside := list(part["components"]); len(inside) == 1 {
				input := object(inside[0])
				c.shown(at+".label", input["label"], 1, 45)
				c.input(at+".components[0]", input, ids)
				continue
			}
			c.fault(at, "a row of a form holds one text input")
		default:
			c.fault(at+".type", "%v does not belong in a form", part["type"])
		}
	}
}

func (c *checker) input(at string, in map[string]any, ids map[string]bool) {
	switch number(in["type"]) {
	case 3:
		c.menu(at, in, ids)
		return
	case 4:
	default:
		c.fault(at+".type", "must be a text input or a menu")
		return
	}
	c.customID(at, in["custom_id"], ids)
	c.whole(at+".style", in["style"], 1, 2)
	c.text(at+".placeholder", in["placeholder"], 0, 100)
	most := 4000
	if in["max_length"] != nil {
		most = int(c.whole(at+".max_length", in["max_length"], 1, 4000))
	}
	if in["min_length"] != nil {
		if least := c.whole(at+".min_length", in["min_length"], 0, 4000); int(least) > most {
			c.fault(at+".min_length", "%v is more than the %d that fit", least, most)
		}
	}
	c.text(at+".value", in["value"], 0, most)
}

// defaults is how many options of a menu are chosen from the start.
func defaults(menu map[string]any) int {
	n := 0
	for _, item := range list(menu["options"]) {
		if chosen, _ := object(item)["default"].(bool); chosen {
			n++
		}
	}
	return n
}

func countComponents(components []any) int {
	n := 0
	for _, item := range components {
		part := object(item)
		n += 1 + countComponents(list(part["components"]))
		for _, key := range []string{"accessory", "component"} {
			if part[key] != nil {
				n++
			}
		}
	}
	return n
}

var commandName = regexp.MustCompile(`^[-_'\p{L}\p{N}\p{Devanagari}\p{Thai}]{1,32}$`)

// checkCommands checks a whole list of commands as it is written.
func checkCommands(raw []byte, inGuild bool) []string {
	c := &checker{}
	var parsed any
	if err := json.Unmarshal(raw, &parsed); err != nil {
		return []string{err.Error()}
	}
	commands, ok := parsed.([]any)
	if !ok {
		return []string{"the command list must be a list, not null"}
	}
	count := map[int]int{}
	seen := map[string]bool{}
	for i, item := range commands {
		command := object(item)
		at := fmt.Sprintf("[%d]", i)
		kind := 1
		if command["type"] != nil {
			kind = int(c.whole(at+".type", command["type"], 1, 4))
		}
		count[kind]++
		name := c.text(at+".name", command["name"], 1, 32)
		if key := fmt.Sprint(kind, name); seen[key] {
			c.fault(at+".name", "application command names must be unique: %q", name)
		} else {
			seen[key] = true
		}
		if inGuild && (command["contexts"] != nil || command["integration_types"] != nil) {
			c.fault(at, "contexts and integration types are for commands everywhere only")
		}
		if p := command["default_member_permissions"]; p != nil {
			if _, isText := p.(string); !isText {
				c.fault(at+".default_member_permissions", "must be a text")
			}
		}
		if kind == 2 || kind == 3 {
			c.text(at+".description", command["description"], 0, 0)
			if len(list(command["options"])) > 0 {
				c.fault(at+".options", "a command of a menu has none")
			}
			continue
		}
		c.commandName(at+".name", name)
		c.text(at+".description", command["description"], 1, 100)
		c.options(at, list(command["options"]), 0)
		if n := characters(command); n > 8000 {
			c.fault(at, "command exceeds the maximum of 8000 characters: %d", n)
		}
	}
	if count[1] > 100 || count[2] > 15 || count[3] > 15 {
		c.fault("", "too many commands: %v", count)
	}
	return c.faults
}

func (c *checker) commandName(at, name string) {
	if !commandName.MatchString(name) || strings.ToLower(name) != name {
		c.fault(at, "%q is no name for a command or an option", name)
	}
}

func (c *checker) options(at string, options []any, depth int) {
	if len(options) > 25 {
		c.fault(at+".options", "must be 25 or fewer, are %d", len(options))
	}
	seen := map[string]bool{}
	optional := false
	nested, plain := 0, 0
	for i, item := range options {
		o := object(item)
		at := fmt.Sprintf("%s.options[%d]", at, i)
		name := c.text(at+".name", o["name"], 1, 32)
		c.commandName(at+".name", name)
		c.text(at+".description", o["description"], 1, 100)
		if seen[name] {
			c.fault(at+".name", "option name is there twice: %q", name)
		}
		seen[name] = true
		kind := int(c.whole(at+".type", o["type"], 1, 11))
		if kind <= 2 {
			nested++
			if depth >= 2 || kind == 2 && depth > 0 {
				c.fault(at, "nested too deep")
			}
			inside := list(o["options"])
			for _, item := range inside {
				if t := number(object(item)["type"]); kind == 2 && t != 1 || kind == 1 && t <= 2 {
					c.fault(at, "type %v does not belong here", t)
				}
			}
			c.options(at, inside, depth+1)
			continue
		}
		plain++
		required, _ := o["required"].(bool)
		if required && optional {
			c.fault(at, "required options must be placed before non-required options")
		}
		optional = optional || !required
		auto, _ := o["autocomplete"].(bool)
		choices := list(o["choices"])
		if auto && len(choices) > 0 {
			c.fault(at, "autocomplete and choices exclude each other")
		}
		if len(choices) > 0 {
			c.choices(at+".choices", o["choices"], kind == 4)
		}
		if auto && kind != 3 && kind != 4 && kind != 10 {
			c.fault(at, "type %d has no autocomplete", kind)
		}
		least, most := o["min_value"], o["max_value"]
		if kind != 4 && kind != 10 && (least != nil || most != nil) {
			c.fault(at, "type %d has no bounds", kind)
		}
		if least != nil && most != nil && number(least) > number(most) {
			c.fault(at, "min_value above max_value")
		}
	}
	if nested > 0 && plain > 0 {
		c.fault(at, "subcommands and options exclude each other")
	}
}

func characters(node map[string]any) int {
	n := 0
	for _, key := range []string{"name", "description"} {
		if s, ok := node[key].(string); ok {
			n += length(s)
		}
	}
	if v := node["value"]; v != nil {
		n += length(fmt.Sprint(v))
	}
	for _, key := range []string{"options", "choices"} {
		for _, item := range list(node[key]) {
			n += characters(object(item))
		}
	}
	return n
}

// CheckMessage returns what the platform would refuse about a message.
func CheckMessage(message map[string]any, files []File, fileLimit int) []string {
	size := 0
	for _, f := range files {
		size += len(f.Data)
	}
	return checkMessage(message, upload{payload: message, files: files, size: size}, fileLimit)
}

// CheckAnswer returns what the platform would refuse about a first answer
// without files to an interaction of a kind.
func CheckAnswer(kind int, answer map[string]any) []string {
	return checkAnswer(kind, upload{payload: answer}, 10<<20)
}

// CheckCommands returns what the platform would refuse about a command list, as it is written.
func CheckCommands(list []byte, inGuild bool) []string { return checkCommands(list, inGuild) }
