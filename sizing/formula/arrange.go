package formula

import "fmt"

// arrange checks that operands and signs take turns and brackets close, puts the
// times sign between a number and the name after it, and so leaves nothing for
// which the expression parser would have only its own words.
func arrange(source string, tokens []token) ([]token, *Fault) {
	if len(tokens) == 0 {
		return nil, faultAt(Syntax, source, span{0, 1}, "The formula is empty.", "Write a length, such as 17*d or 10 cm.")
	}
	var out []token
	var brackets []bracket
	wantOperand := true
	for i, t := range tokens {
		call := isFunction(t)
		if call && (wantOperand || tokens[i-1].kind == number) && (i+1 == len(tokens) || tokens[i+1].kind != open) {
			return nil, faultAt(Syntax, source, t.at, quote(t.text)+" is a function and needs brackets after it.", "Write "+formOf(t.text)+".")
		}
		switch {
		case wantOperand && (t.kind == number || t.kind == word && !call):
			wantOperand = false
		case wantOperand && call: // its bracket comes next
		case wantOperand && t.kind == open:
			brackets = append(brackets, bracket{t, i > 0 && isFunction(tokens[i-1])})
		case wantOperand && t.text == "-" || wantOperand && t.text == "+":
			if i > 0 && tokens[i-1].kind == operator && isPlusMinus(tokens[i-1]) {
				return nil, faultAt(Syntax, source, tokens[i-1].at.join(t.at), "Two signs stand together.", "Keep one of them.")
			}
		case wantOperand:
			return nil, missingOperand(source, tokens, i)
		case t.kind == operator:
			wantOperand = true
		case t.kind == closing:
			if len(brackets) == 0 {
				return nil, faultAt(Syntax, source, t.at, "This bracket closes nothing.", "Take it out, or put ( where it should begin.").likely("")
			}
			brackets = brackets[:len(brackets)-1]
		case t.kind == comma:
			if len(brackets) == 0 || !brackets[len(brackets)-1].call {
				return nil, strayComma(source, tokens, i)
			}
			wantOperand = true
		case t.kind == word && tokens[i-1].kind == number:
			if fault := ambiguous(source, tokens, i); fault != nil {
				return nil, fault
			}
			out = append(out, token{operator, "*", t.at})
			wantOperand = call
		default:
			return nil, sideBySide(source, tokens[i-1], t)
		}
		out = append(out, t)
	}
	if wantOperand {
		last := tokens[len(tokens)-1]
		return nil, faultAt(Syntax, source, last.at, "The formula ends after "+quote(last.text)+".", "Write what comes after it, or take it out.")
	}
	if len(brackets) > 0 {
		return nil, faultAt(Syntax, source, brackets[len(brackets)-1].at, "This bracket is never closed.", "Add ) where it should end.")
	}
	return out, nil
}

// bracket is an opened one, and whether it holds a function's arguments.
type bracket struct {
	token
	call bool
}

func isFunction(t token) bool { return t.kind == word && formOf(t.text) != "" }

func isPlusMinus(t token) bool { return t.text == "+" || t.text == "-" }

func formOf(text string) string {
	for _, f := range functionTable {
		if f.name == text {
			return f.form
		}
	}
	return ""
}

func missingOperand(source string, tokens []token, i int) *Fault {
	t := tokens[i]
	if t.kind == closing && i > 0 && tokens[i-1].kind == open {
		if i > 1 && isFunction(tokens[i-2]) {
			f := tokens[i-2]
			return faultAt(Syntax, source, f.at.join(t.at), quote(f.text)+" has nothing between its brackets.", "Write "+formOf(f.text)+".")
		}
		return faultAt(Syntax, source, tokens[i-1].at.join(t.at), "There is nothing between these brackets.", "Put something in, or take them out.")
	}
	if i == 0 {
		return faultAt(Syntax, source, t.at, "The formula begins with "+quote(t.text)+".", "Write what comes before it, or take it out.")
	}
	return faultAt(Syntax, source, t.at, fmt.Sprintf("Something is missing between “%s” and “%s”.", tokens[i-1].text, t.text), "Write a number, a name or a unit there, or take one of them out.")
}

func strayComma(source string, tokens []token, i int) *Fault {
	if i+1 < len(tokens) && tokens[i-1].kind == number && tokens[i+1].kind == number {
		a, b := tokens[i-1], tokens[i+1]
		if len(b.text) == 3 {
			return faultAt(Syntax, source, tokens[i].at, "A comma stands in a number.", "Write "+a.text+b.text+", or "+a.text+"."+b.text+" with a decimal point.")
		}
		return faultAt(Syntax, source, tokens[i].at, "A comma stands in a number.", "Write the decimal point: "+a.text+"."+b.text+".").likely(".")
	}
	return faultAt(Syntax, source, tokens[i].at, "A comma belongs only between the arguments of a function, as in max(a, b).", "Put + - * or / here, or take it out.")
}

// ambiguous refuses a number and name side by side where a reader could take
// more than the two together: 12 / 2 cm, 2 ^ 3 d. A fraction, 3/4 inch, is plain.
func ambiguous(source string, tokens []token, i int) *Fault {
	if i < 2 || tokens[i-2].kind != operator {
		return nil
	}
	sign, count, unit := tokens[i-2].text, tokens[i-1], tokens[i]
	fraction := sign == "/" && i >= 3 && tokens[i-3].kind == number &&
		(i < 4 || tokens[i-4].text != "/" && tokens[i-4].text != "^")
	if sign != "^" && (sign != "/" || fraction) {
		return nil
	}
	return faultAt(Syntax, source, tokens[i-2].at.join(unit.at), fmt.Sprintf("“%s” can be read in two ways.", sign+" "+count.text+" "+unit.text),
		fmt.Sprintf("Write %s (%s*%s), or %s %s * %s.", sign, count.text, unit.text, sign, count.text, unit.text))
}

func sideBySide(source string, a, b token) *Fault {
	at := a.at.join(b.at)
	if a.kind == number && b.kind == number {
		return faultAt(Syntax, source, at, "Two numbers stand side by side.", "Write 4.5 for 4 1/2, and 1000 for 1 000.")
	}
	if _, _, isUnit := findConstant(a.text); isUnit && a.text != "pi" && b.kind == number {
		return faultAt(Syntax, source, at, "A sign is missing between "+quote(a.text)+" and "+quote(b.text)+".", "Write + between the parts of a length, as in 4 ft + 6 inch.").likely(a.text + " + " + b.text)
	}
	if a.kind == word && b.kind == open {
		return faultAt(Syntax, source, at, quote(a.text)+" is not a function.", "Write "+a.text+" * (...).")
	}
	return faultAt(Syntax, source, at, "A sign is missing between "+quote(a.text)+" and "+quote(b.text)+".", "Write "+spelt(a)+" * "+spelt(b)+" for times.")
}

// spelt writes a bracket with what it holds left out.
func spelt(t token) string {
	if t.kind == open || t.kind == closing {
		return "(...)"
	}
	return t.text
}
