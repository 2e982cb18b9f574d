package sheet

import (
	"strconv"
	"strings"
)

// words are the sheet's own words, in one place, so that they can be put into
// another language. The sentences of findings come from the packages that find.
var words = struct {
	invented, inventedHarness, inventedEngine string
	engine, ignition, note, page, pageOf      string
	fit, unfit, cannotTell                    string
	should, says, next                        string
	notRead, notReadIntro                     string
	granted, grantedHarness                   string
	takeCare, mind                            string
	book, bookOf, sources, date               string
	pictures, wiringIn, inWords               string
	before, after, goes, changed, cutList     string
	probes, volts, ohms, read                 string
}{
	invented:        "An invented job: the engine and its figures are made up.",
	inventedHarness: "An invented harness: the machine is made up.",
	inventedEngine:  "An invented engine: its figures are made up.",
	engine:          "Engine", ignition: "Ignition", note: "Note", page: "Page", pageOf: "{} of {}; the worst come first",
	fit: "FIT", unfit: "UNFIT", cannotTell: "CANNOT TELL",
	should: "should be", says: "says", next: "next",
	notRead: "Not read", notReadIntro: "so nothing is said of it",
	granted: "Taken for granted", grantedHarness: "where the harness does not say",
	takeCare: "Take care", mind: "Mind the part and the reading",
	book: "Book", bookOf: "{}, digest {}", sources: "Sources", date: "Date",
	pictures: "To look at", wiringIn: "The wiring, {}", inWords: "The same in words",
	before: "Before: {}", after: "After: {}", goes: "goes", changed: "changed",
	cutList: "W and a number: that wire of the cut list.",
	probes:  "Where the leads go", volts: "volts DC", ohms: "ohms", read: "read",
}

// fill puts values in the place of "{}", in order.
func fill(template string, values ...string) string {
	var b strings.Builder
	for _, v := range values {
		before, after, _ := strings.Cut(template, "{}")
		b.WriteString(before)
		b.WriteString(v)
		template = after
	}
	b.WriteString(template)
	return b.String()
}

func number(n int) string { return strconv.Itoa(n) }

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return number(n) + " " + what + "s"
}
