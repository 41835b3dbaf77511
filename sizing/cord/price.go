package cord

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"larkfold/sizing/length"
)

// Price is an amount of money in hundredths of whatever currency the maker thinks in.
type Price int64

// String returns the amount with two decimals and no sign of currency.
func (p Price) String() string {
	sign, n := "", uint64(p)
	if p < 0 {
		sign, n = "-", -n
	}
	return fmt.Sprintf("%s%d.%02d", sign, n/100, n%100)
}

var priceForm = regexp.MustCompile(`^(\d{1,12})(?:[.,](\d{1,2}))?$`)

// ParsePrice reads an amount of money, "24", "24.5" or "24,50", with or without a
// sign of currency before or behind it. Anything else, an amount below nothing
// among it, is a [length.InputError].
func ParsePrice(text string) (Price, error) {
	money := func(r rune) bool { return unicode.IsSpace(r) || unicode.Is(unicode.Sc, r) }
	parts := priceForm.FindStringSubmatch(strings.TrimFunc(text, money))
	if parts == nil {
		return 0, &length.InputError{Noun: "price", Input: text, Wrong: "it is not a price", Right: "write a number with at most two decimals, such as 24.00"}
	}
	hundredths, err := strconv.ParseInt(parts[1]+(parts[2] + "00")[:2], 10, 64)
	return Price(hundredths), err
}
