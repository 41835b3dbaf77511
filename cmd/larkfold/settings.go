package main

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"larkfold/sizing/near"
)

// A setting is a flag that a variable of the environment can give as well. The
// flag beats the variable, and an empty variable counts as none.

// settings makes settings of all flags that a set has so far, and says in their
// help which variable goes with them.
func settings(f *pflag.FlagSet) {
	f.VisitAll(func(flag *pflag.Flag) {
		if variableOf(flag) == "" {
			name := "LARKFOLD_" + strings.ToUpper(strings.ReplaceAll(flag.Name, "-", "_"))
			flag.Annotations = map[string][]string{variableNote: {name}}
			flag.Usage += " (" + name + ")"
		}
	})
}

// Notes on flags: the variable that goes with one, and that it gave the value.
const (
	variableNote  = "variable"
	inheritedNote = "inherited"
)

// variableOf is the variable that goes with a flag, or nothing.
func variableOf(flag *pflag.Flag) string {
	if names := flag.Annotations[variableNote]; len(names) == 1 {
		return names[0]
	}
	return ""
}

// inherit sets those settings from the environment that no flag gave.
func inherit(f *pflag.FlagSet) (err error) {
	f.VisitAll(func(flag *pflag.Flag) {
		name := variableOf(flag)
		value := os.Getenv(name)
		if err != nil || name == "" || value == "" || flag.Changed {
			return
		}
		if fault := flag.Value.Set(value); fault != nil {
			err = badSetting{noSuchValue(name, value, flag, fault)}
		}
		flag.Annotations[inheritedNote] = []string{name}
	})
	return err
}

// noSuchValue says what a flag takes instead of a value that it does not.
func noSuchValue(name, value string, flag *pflag.Flag, fault error) error {
	takes, told := map[string]string{
		"bool": "write true or false", "int": "write a whole number", "int64": "write a whole number", "duration": "write a time such as 24h or 90m",
	}[flag.Value.Type()]
	if !told {
		takes = fault.Error()
	}
	return fmt.Errorf("%s: %q is no such value: %s", name, value, takes)
}

// flagFault says the same of a flag's value as of a variable's.
func flagFault(_ *cobra.Command, err error) error {
	var value *pflag.InvalidValueError
	if errors.As(err, &value) {
		return noSuchValue("--"+value.GetFlag().Name, value.GetValue(), value.GetFlag(), errors.Unwrap(value))
	}
	return err
}

// unknownVariables refuses variables that look like settings and are none: a
// mistyped one would be passed over in silence.
func unknownVariables(root *cobra.Command, environ []string) error {
	var known []string
	note := func(flag *pflag.Flag) {
		if name := variableOf(flag); name != "" {
			known = append(known, name)
		}
	}
	root.PersistentFlags().VisitAll(note)
	for _, cmd := range root.Commands() {
		cmd.LocalFlags().VisitAll(note)
	}
	for _, pair := range environ {
		name, value, _ := strings.Cut(pair, "=")
		if !strings.HasPrefix(name, "LARKFOLD_") || value == "" || slices.Contains(known, name) {
			continue
		}
		advice := "larkfold serve --help lists those there are"
		if meant := near.Word(name, known); meant != "" {
			advice = "did you mean " + meant + "?"
		}
		return badSetting{fmt.Errorf("the variable %s is no setting of this program: %s", name, advice)}
	}
	return nil
}

// givenBy says where a setting has its value from: its flag, its variable, or
// nowhere, which leaves the default.
func givenBy(flag *pflag.Flag) string {
	switch {
	case flag.Changed:
		return "--" + flag.Name
	case flag.Annotations[inheritedNote] != nil:
		return variableOf(flag)
	}
	return ""
}

// oneOf names which of several ways to set one thing was used. A flag beats
// variables; two that have equal rank are refused rather than one be passed over.
func oneOf(f *pflag.FlagSet, thing string, names ...string) (string, error) {
	var flags, variables []*pflag.Flag
	for _, name := range names {
		switch flag := f.Lookup(name); {
		case flag.Changed:
			flags = append(flags, flag)
		case givenBy(flag) != "":
			variables = append(variables, flag)
		}
	}
	used := flags
	if len(used) == 0 {
		used = variables
	}
	switch len(used) {
	case 0:
		return "", nil
	case 1:
		return used[0].Name, nil
	}
	return "", badSetting{fmt.Errorf("%s is set twice, by %s and by %s; keep one of them", thing, givenBy(used[0]), givenBy(used[1]))}
}
