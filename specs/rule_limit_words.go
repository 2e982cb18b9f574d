package specs

import (
	"fmt"
	"regexp"
	"strings"
)

// ruleLimitWords holds limits to the words of the page.
//
// A page that prints "over 8 mm" or "8 mm minimum" gives a lower limit and
// nothing else; "not more than 2 mm" an upper one. Both are easily typed in as
// nominals, and a sound part is then called bad. A word counts only beside the
// number that is the figure: "28° below 4500 rpm" limits the speed, not the
// angle.
//
// Refused: nominal = "8 mm" with as_printed = "Over 8 mm".
var ruleLimitWords = lintRule{code: "limit-words", claim: func(l *linter, c claim) {
	if c.Band.IsZero() {
		return
	}
	low, high, from := conditionLimit(c.Condition)
	field := "condition"
	if c.AsPrinted != "" {
		p := readPrinted(c.info.Kind, c.AsPrinted)
		if lo, hi, word := p.limits(c); lo || hi {
			low, high, from, field = low || lo, high || hi, word, "as_printed"
		}
	}
	if low == high { // no limit words, or both kinds
		return
	}
	need, other, have, over := "min", "max", c.Band.Min, c.Band.Max
	if high {
		need, other, have, over = "max", "min", c.Band.Max, c.Band.Min
	}
	switch {
	case have.IsZero():
		l.claim(c, field, fmt.Sprintf("%q makes the figure a %s, and there is none", from, need), fmt.Sprintf("write %s instead of %s", need, c.values()[0].key))
	case !over.IsZero():
		l.claim(c, other, fmt.Sprintf("%q gives a %s alone, and there is a %s of %s", from, need, other, over.Text), "take the "+other+" out")
	}
}}

// limitPhrases are the words for limits, the longer first: "not less than"
// holds "less than".
var limitPhrases = []struct {
	words *regexp.Regexp
	low   bool
	after bool // stands behind its number
	both  bool // stands before or behind it
}{
	{words: regexp.MustCompile(`\b(not|no) (less|lower|smaller) than\b|\bnot under\b|\bnot below\b`), low: true},
	{words: regexp.MustCompile(`\b(not|no) (more|greater|higher|larger) than\b|\bnot (to )?exceed(ing)?\b|\bnot over\b|\bnot above\b`)},
	{words: regexp.MustCompile(`\b(or|and) (more|over|above|greater|higher|up)\b`), low: true, after: true},
	{words: regexp.MustCompile(`\b(or|and) (less|under|below|lower|smaller)\b`), after: true},
	{words: regexp.MustCompile(`\b(at least|over|above|more than|greater than|higher than|exceeds?|exceeding)\b`), low: true},
	{words: regexp.MustCompile(`\b(at most|under|below|less than|lower than|up to)\b`)},
	{words: regexp.MustCompile(`\bmin(imum|\.)?(\b| )`), low: true, both: true},
	{words: regexp.MustCompile(`\bmax(imum|\.)?(\b| )`), both: true},
}

// neutralPhrases hold limit words that limit nothing: "below top" is a place of
// the piston.
var neutralPhrases = regexp.MustCompile(`\b(above|below|under|over) (the )?(top|bottom|t\.?d\.?c|b\.?d\.?c|head|deck|flush)\b|\bmore or less\b|\b(just|little|slightly) (over|under)\b|\b\d+ min\b`)

// conditionLimit reads a condition that is a limit word and nothing else.
func conditionLimit(condition string) (low, high bool, word string) {
	for _, part := range strings.FieldsFunc(strings.ToLower(condition), func(r rune) bool { return r == ';' || r == ',' }) {
		part = strings.TrimSpace(part)
		for _, p := range limitPhrases {
			if p.words.FindString(part) == part && part != "" {
				return p.low, !p.low, part
			}
		}
	}
	return false, false, ""
}

// limits finds the limit words that stand beside a figure of the claim.
func (p *printedText) limits(c claim) (low, high bool, word string) {
	text := strings.ToLower(p.text)
	blank := func(at []int) {
		text = text[:at[0]] + strings.Repeat("_", at[1]-at[0]) + text[at[1]:]
	}
	for _, at := range neutralPhrases.FindAllStringIndex(text, -1) {
		blank(at)
	}
	for _, phrase := range limitPhrases {
		for _, at := range phrase.words.FindAllStringIndex(text, -1) {
			found := strings.TrimSpace(text[at[0]:at[1]])
			blank(at)
			before, after := p.isFigure(c, p.numberBefore(at[0])), p.isFigure(c, p.numberAfter(at[1]))
			isLow := phrase.low != (condemns(text, at) || condemnsSomewhere.MatchString(c.Condition))
			if phrase.after && before || phrase.both && (before || after) || !phrase.after && !phrase.both && after {
				low, high, word = low || isLow, high || !isLow, found
			}
		}
	}
	return low, high, word
}

// condemns reports whether a page speaks of the bad part and not of the good
// one: "renew above 5 kΩ" and "less than 4.5 V indicates a short" turn the
// limit round.
func condemns(text string, at []int) bool {
	if condemnsBefore.MatchString(text[:at[0]]) {
		return true
	}
	clause, _, _ := strings.Cut(text[at[1]:], ";")
	return condemnsAfter.MatchString(clause)
}

var (
	condemnsBefore = regexp.MustCompile(`\b(renew|replace|reject|scrap|discard|faulty|bad|defective)( it)?( if| when| at)?( it| they)?( is| are| reads?)? *$`)
	// condemnsSomewhere finds a condition that tells what a bare "above 5K" of
	// the page's text is for.
	condemnsSomewhere = regexp.MustCompile(`(?i)\b(renew|replace|reject)\b`)
	condemnsAfter     = regexp.MustCompile(`\b(indicates?|means?|shows?|suggests?|points? to|is bad|is faulty|is defective|renew|replace|reject)\b`)
)

// limitWordReach is how many bytes of other words may part a limit word from
// its number.
const limitWordReach = 14

func (p *printedText) numberBefore(at int) int {
	best := -1
	for i, n := range p.numbers {
		if n.end <= at && at-n.end <= limitWordReach && (best < 0 || n.end > p.numbers[best].end) {
			best = i
		}
	}
	return best
}

func (p *printedText) numberAfter(at int) int {
	best := -1
	for i, n := range p.numbers {
		if n.start >= at && n.start-at <= limitWordReach && (best < 0 || n.start < p.numbers[best].start) {
			best = i
		}
	}
	return best
}

// isFigure reports whether a printed number is one of the claim's figures.
func (p *printedText) isFigure(c claim, i int) bool {
	if i < 0 {
		return false
	}
	start, end := p.numbers[i].start, p.numbers[i].end
	for _, b := range c.bands() {
		for _, v := range b.values() {
			for j, n := range p.numbers { // every reading of this number
				if n.start < end && n.end > start && p.reads(n, j, v.Value) {
					return true
				}
			}
		}
	}
	return false
}
