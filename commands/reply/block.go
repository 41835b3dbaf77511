// Package reply is the contract between what answers and what shows: a [Request]
// is one thing a member did, a [Command] describes what can be asked, a [Reply] is
// a list of blocks, a [UserError] is a refusal.
//
// It knows neither cord nor any platform: package commands makes replies of
// requests, a front end turns its own events into requests and shows the replies.
// What will hurt you: a request may be delivered twice; what changes records does
// it under [Request.Operation], which is the same both times.
package reply

// Reply is a list of blocks for a front end to fit to what it can show.
type Reply struct {
	Blocks  []Block
	Refused bool // the answer is a refusal: a terminal exits with a status other than 0
	Public  bool // meant for the whole channel, by the member's own act

	// Faults are what went wrong in the store without keeping the member from an
	// answer. They are for the log of whoever runs the program.
	Faults []error
}

// Block is one part of a reply: Heading, Text, Facts, Table, Picture, File,
// Caution, Actions or Form.
type Block interface{ block() }

// Heading opens a part of the reply.
type Heading string

// Text is a paragraph. Lines are kept.
type Text string

// Verbatim is text to be shown as it is, in a fixed width: a sheet, a fault with its caret.
type Verbatim string

// Facts are short labelled values.
type Facts []Fact

// Fact is one labelled value.
type Fact struct {
	Label, Value string
	Channel      string // opaque id of the channel that the value speaks of; a front end names it as its readers know it
}

// Table is columns of short values. Short says the same rows in few words, a line
// each, for a screen too narrow for the columns; a front end breaks them at blanks.
type Table struct {
	Columns []Column
	Rows    [][]string
	Short   []string
}

// Column is one column's heading and alignment.
type Column struct {
	Title string
	Right bool
}

// Picture is an image that is drawn when it is to be shown, for words are there in
// a fiftieth of the time. Draw may be called by another goroutine, more than once.
type Picture struct {
	Name string // file name, ending in .png
	Key  string // pictures of one key look alike; empty: like no other
	Size int    // about how many bytes are held until it is drawn
	Draw func() (Image, error)
}

// Image is a drawn picture with the text that stands for it.
type Image struct {
	PNG []byte
	Alt string
}

// File is an attachment.
type File struct {
	Name string
	Data []byte
	Alt  string
}

// Caution is advice about safety. A front end never drops it.
type Caution string

// Actions are what can be done next.
type Actions struct {
	Buttons []Button
	Menus   []Menu
}

// Button does one thing when pressed.
type Button struct {
	Label  string
	Do     Action
	Main   bool   // at most one of a group
	Danger bool   // destroys something
	Line   string // that does the same when it is typed, where there is one; shown where nothing can be pressed
}

// Menu offers a choice of one.
type Menu struct {
	Line        string // that shows the same when it is typed, where there is one
	Placeholder string
	Do          Action
	Choices     []Choice
}

// Form asks for text. It must be the only block of its reply.
type Form struct {
	Title  string
	Do     Action
	Fields []Field // five at most

	Otherwise []Block // shown instead where no form can hold what its fields start with
}

// Field is one input of a form.
type Field struct {
	Name        string
	Label       string
	Placeholder string
	Value       string // what the input starts with
	Long        bool   // several lines
	Required    bool
	MaxLength   int      // as much as a front end takes when zero
	Choices     []Choice // one of these is picked instead of typed
}

func (Heading) block()  {}
func (Text) block()     {}
func (Verbatim) block() {}
func (Facts) block()    {}
func (Table) block()    {}
func (Picture) block()  {}
func (File) block()     {}
func (Caution) block()  {}
func (Actions) block()  {}
func (Form) block()     {}
