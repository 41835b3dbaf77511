package takeup

import "larkfold/commands/reply"

// Owner says in whose book a knot or a rule stands.
type Owner string

// The owners.
const (
	BuiltIn    Owner = "built in"
	mine       Owner = "yours"
	communitys Owner = "this community's"
)

// Whose book a member names.
const (
	forMe  = "me"
	forAll = "community"
)

// addedBy names a member as far as the community's book knows one.
func addedBy(req reply.Request, member string) string {
	switch member {
	case "":
		return "by a member who is no longer here"
	case req.Member:
		return "by you"
	}
	return "by member " + member
}

// mayManage refuses to change a community's book for whoever may not, and offers
// what they may do otherwise.
func mayManage(req reply.Request, what, otherwise string) error {
	switch {
	case req.Community == "":
		return &reply.UserError{Read: "/" + req.Command, Wrong: "there is no community here, this is a private chat", Right: "ask in your community's server", Try: otherwise}
	case !req.CanManage:
		return &reply.UserError{Read: "/" + req.Command, Wrong: "only those who may manage this server can change the community's " + what, Right: "ask somebody who may", Try: otherwise}
	}
	return nil
}
