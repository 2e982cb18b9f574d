package picture

import "fmt"

// A Rank is one line of a ranking. The zero Rank is nothing at nought.
type Rank struct {
	// Label says what it is, such as a fault.
	Label string
	// Chance is between 0 and 1; what lies outside is held there.
	Chance float64
}

// maxRanks is how many lines a ranking draws; the rest is summed up.
const maxRanks = 12

// Ranking draws chances as bars, in the order given. Title heads it; empty is
// one of its own. More than a dozen are summed up in a last line.
func Ranking(name, title string, ranks []Rank) Picture {
	title = clean(title)
	if title == "" {
		title = "What it may be, and how likely"
	}
	rows := ranks
	if len(rows) > maxRanks {
		rest := 0.0
		for _, r := range ranks[maxRanks-1:] {
			rest += hold(r.Chance)
		}
		rows = append(append([]Rank{}, ranks[:maxRanks-1]...), Rank{fmt.Sprintf("%d others together", len(ranks)-maxRanks+1), rest})
	}
	var c canvas
	y := c.head(title) + 8
	var words []string
	const from, to = sheetMargin, 280.0
	for _, r := range rows {
		p := hold(r.Chance)
		label := clean(r.Label)
		for _, line := range wrap(label, bodySize, false, phoneWidth-2*sheetMargin, 3) {
			y += 14
			c.text(from, y, atStart, "", line)
		}
		y += 5
		w := p * (to - from)
		c.rect("axis", from, y, to-from, 9, 0)
		if w >= 0.5 {
			c.rect("k", from, y, w, 9, 0)
		}
		c.text(to+8, y+9, atStart, "pb", share(p))
		y += 14
		words = append(words, label+": "+share(p)+".")
	}
	if len(rows) == 0 {
		words = append(words, "Nothing to rank.")
		y = c.below(y, words)
	} else {
		c.line("dots", (from+to)/2, y-1, (from+to)/2, y+5)
		y += 14
		c.text(from, y, atStart, "p", "0 %")
		c.text((from+to)/2, y, atMiddle, "p", "50 %")
		c.text(to, y, atEnd, "p", "100 %")
	}
	desc := fmt.Sprintf("Bars for %d chances, the longest bar the likeliest.", len(rows))
	return wrapUp(c, name, title, desc, y+10, words)
}

func hold(p float64) float64 {
	if !(p > 0) {
		return 0
	}
	return min(1, p)
}
