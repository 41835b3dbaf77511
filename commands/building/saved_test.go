package building_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
)

// The design in the making says when what it is saved as has been changed elsewhere, or
// deleted; nothing but that is shared from it then.
func TestTheSavedDesignHasChangedSince(t *testing.T) {
	t.Parallel()
	p := &presser{t: t, a: commandstest.New(t)}
	look := func() string {
		p.now = commandstest.Asked(t, p.a, "/build")
		return strings.Join(texts(p.now), "\n")
	}
	shares := func() bool {
		p.button("print, make, share")
		_, ok := buttonIn(p.now, "share it here")
		return ok
	}
	p.now = commandstest.Asked(t, p.a, "/build new:yes")
	p.fill(nil)
	require.Contains(t, look(), "; not saved yet\n")
	p.button("save")
	p.fill(map[string]string{"name": "Trio"})
	require.NotContains(t, strings.Join(texts(p.now), "\n"), "since")
	require.Contains(t, look(), "; saved as “Trio”\n")
	require.True(t, shares())
	shared, _ := buttonIn(p.now, "share it here")

	// Another design that is changed is none of its business.
	commandstest.Asked(t, p.a, "/project copy name:Trio to:Solo")
	require.False(t, commandstest.Asked(t, p.a, `/project resize name:Solo width:40cm save:"in place"`).Refused)
	require.Contains(t, look(), "; saved as “Trio”\n")

	require.False(t, commandstest.Asked(t, p.a, `/project resize name:Trio width:40cm save:"in place"`).Refused)
	require.Contains(t, look(), "; saved as “Trio”; “Trio” has changed since\n")
	require.False(t, shares())
	require.Contains(t, strings.Join(texts(p.now), "\n"), "“Trio” has changed since: save this one under another name first")
	p.send(shared.Do, nil, nil)
	require.Contains(t, strings.Join(texts(p.now), "\n"), "; saved as “Trio”; “Trio” has changed since\n")
	p.step("tail 9 cm")
	require.Contains(t, look(), "; not saved since the last change; “Trio” has changed since\n")
	p.button("save")
	require.Contains(t, strings.Join(texts(p.now), "\n"), "Trio was changed meanwhile")
	p.button("save under another name")
	p.fill(map[string]string{"name": "Duet"})
	require.Contains(t, look(), "; saved as “Duet”\n")
	require.True(t, shares())

	// Opened anew it is as it is saved; the other one, chosen from the menu, still is.
	p.now = commandstest.Asked(t, p.a, "/build name:Trio")
	require.Contains(t, strings.Join(texts(p.now), "\n"), "; saved as “Trio”\n")
	look()
	others := commandstest.MenusOf(p.now)
	other := others[len(others)-1]
	p.send(other.Do, []string{other.Choices[0].Value}, nil)
	require.Contains(t, strings.Join(texts(p.now), "\n"), "; saved as “Duet”\n")

	commandstest.Asked(t, p.a, "/project delete name:Duet")
	p.send(other.Do, []string{other.Choices[0].Value}, nil)
	require.Contains(t, strings.Join(texts(p.now), "\n"), "; saved as “Duet”; “Duet” has been deleted since\n")
	p.step("space 3 cm")
	p.button("save")
	require.Contains(t, commandstest.Render(p.now), "Duet was deleted meanwhile")
	require.False(t, commandstest.Asked(t, p.a, "/project undo name:Duet").Refused)
	p.button("back to the design")
	require.Contains(t, strings.Join(texts(p.now), "\n"), "; not saved since the last change\n")
	p.button("save")
	require.Contains(t, strings.Join(texts(p.now), "\n"), "; saved as “Duet”\n")
}
