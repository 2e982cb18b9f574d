package specs

import (
	"fmt"
	"regexp"
	"strings"
)

// rulePrinted holds as_printed to the figures.
//
// The printed text is what lets anybody check a figure without the page in
// hand, and a slip in typing shows as a figure that the text does not hold.
// The text is read again: fractions (1-7/8), a leading point (.020), a decimal
// comma, ± and percentages opened into limits, numbers in words. What only a
// mended scan gives ("0 025 inch", "l.5 mm") needs a note that says so, or
// status doubtful. A figure of a published or reported source must have one;
// class figures of limits, which sum up a chart or a paragraph, need not.
//
// Noughts behind the point are kept, for they say how exact a figure is.
//
// Refused: nominal = "0.020 in" with as_printed = ".030 inch"; nominal = "14 hp"
// with as_printed = "14.0 hp".
var rulePrinted = lintRule{code: "printed", claim: func(l *linter, c claim) {
	if c.Band.IsZero() {
		return
	}
	if c.AsPrinted == "" {
		if !c.class && (c.Basis == Published || c.Basis == Reported) {
			l.claim(c, "basis", fmt.Sprintf("the figure is %s and as_printed is missing", c.Basis), "write the figure exactly as the page prints it")
		}
		return
	}
	if m := ourWords.FindString(c.printed()); m != "" {
		l.claim(c, "as_printed", fmt.Sprintf("%q is a remark of the book's own, not print", m), "move it to note")
	}
	p := readPrinted(c.info.Kind, c.AsPrinted)
	check := func(key, field string, v Value) {
		scan, ok := p.find(v, key)
		switch {
		case !ok:
			message := fmt.Sprintf("as_printed does not hold the figure %s", v.Text)
			if near := p.nearest(v); near != "" {
				message += ", the nearest number there is " + near
			}
			l.claim(c, field, message, "look at the page again; one of the two is wrong")
		case scan && c.Note == "" && c.Status != Doubtful:
			l.claim(c, field, fmt.Sprintf("%s can only be read in as_printed by mending letters or spaces of a scan", v.Text), "say in note how it was read, or give it status doubtful")
		case field != "also":
			if full := p.noughts(v); full != "" {
				l.claim(c, field, fmt.Sprintf("the page prints %s, and the figure is %s", full, v.Text), "write all its noughts: they say how exact it is")
			}
		}
	}
	for _, v := range c.values() {
		check(v.key, v.key, v.Value)
	}
	for _, b := range c.Also {
		for _, v := range b.values() {
			check(v.key, "also", v.Value)
		}
	}
	if c.info.NeedsSense {
		before, after := saysBefore.MatchString(c.printed()), saysAfter.MatchString(c.printed())
		for _, v := range c.values() {
			switch late := strings.HasSuffix(v.Text, "ATDC"); {
			case late && before && !after:
				l.claim(c, v.key, fmt.Sprintf("the page says before top dead centre, the figure is %s", v.Text), "write BTDC")
			case !late && after && !before:
				l.claim(c, v.key, fmt.Sprintf("the page says after top dead centre, the figure is %s", v.Text), "write ATDC")
			}
		}
	}
}}

var (
	ourWords   = regexp.MustCompile(`(?i)\b(decimal points? lost|page text|text damaged|damaged|stored as|not legible|illegible|\bsic\b|sign lost|lost in)`)
	saysBefore = regexp.MustCompile(`(?i)\b(BTDC|BTC|B\.T\.D\.C|B\.T\.C|before|avant|vor OT|v\. ?OT|prima|antes)`)
	saysAfter  = regexp.MustCompile(`(?i)\b(ATDC|ATC|A\.T\.D\.C|A\.T\.C|after (TDC|T\.D\.C|top)|nach OT|n\. ?OT|dopo)`)
)
