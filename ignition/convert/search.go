package convert

import (
	"cmp"
	"math"

	"gapbook.example/ignition"
)

// Choosing is a search over every combination of one candidate a role. A rule
// looks at a few roles only, so its verdict is worked out once for each
// combination of their candidates and then looked up. The reserve, which costs
// the most, is worked out only for sets that nothing else rejects.

// verdict is what a rule thinks of candidates, in numbers alone.
type verdict struct {
	// faults, doubts and notes are 0 or 1.
	faults, doubts, notes int8
	// risk is 1 where the limit is kept, but not by every part of the class.
	risk  int8
	known bool // the verdict was worked out
	// margin is the least share to spare, +Inf where there is none.
	margin float64
	// over is how far beyond the limit a fault is, as a share; 1 where that has
	// no measure.
	over float64
}

// score is what a whole set is ranked by.
type score struct {
	faults, doubts, notes, risks, purchases int
	reserve, margin, over                   float64
}

func (s *score) add(v verdict) {
	s.faults, s.doubts, s.notes, s.risks = s.faults+int(v.faults), s.doubts+int(v.doubts), s.notes+int(v.notes), s.risks+int(v.risk)
	s.margin, s.over = min(s.margin, v.margin), s.over+v.over
}

// better orders sets that suit, the best first: see [Choice].
func (s score) better(t score, enough float64) int {
	surely := func(m float64) int {
		if m < 0 {
			return 1
		}
		return 0
	}
	return cmp.Or(
		cmp.Compare(s.doubts, t.doubts),
		cmp.Compare(math.Min(t.reserve, enough), math.Min(s.reserve, enough)),
		cmp.Compare(surely(s.margin), surely(t.margin)),
		cmp.Compare(s.purchases, t.purchases),
		cmp.Compare(s.risks, t.risks),
		cmp.Compare(t.margin, s.margin),
		cmp.Compare(t.reserve, s.reserve),
		cmp.Compare(s.notes, t.notes),
	)
}

// nearer orders sets that do not suit, the nearest first: fewest reasons, then
// fewest doubts, then the least overstepping, then as for those that do.
func (s score) nearer(t score, enough float64) int {
	return cmp.Or(cmp.Compare(s.faults, t.faults), cmp.Compare(s.doubts, t.doubts), cmp.Compare(s.over, t.over), s.better(t, enough))
}

// A hand is one candidate for each role, as indices into the pools.
type hand []int

func compareHands(a, b hand) int {
	for i := range a {
		if c := cmp.Compare(a[i], b[i]); c != 0 {
			return c
		}
	}
	return 0
}

// ranked is a hand with its score.
type ranked struct {
	hand  hand
	score score
}

// table keeps the verdicts of one rule by the candidates of its roles.
type table struct {
	rule    rule
	at      []int // places of its roles in a hand
	strides []int
	seen    []verdict
}

// searcher goes through all hands.
type searcher struct {
	judge  *judge
	roles  []ignition.Role
	pools  [][]candidate
	tables [][]table // by the last place that a rule needs
	places map[ignition.Role]int
	enough float64
}

func newSearcher(j *judge, roles []ignition.Role, pools [][]candidate) *searcher {
	s := &searcher{judge: j, roles: roles, pools: pools, tables: make([][]table, len(roles)), places: map[ignition.Role]int{}, enough: j.enough}
	for i, r := range roles {
		s.places[r] = i
	}
	for _, r := range rulesFor(roles) {
		t, last, size := table{rule: r}, 0, 1
		for _, role := range r.roles {
			i, ok := s.places[role]
			if !ok {
				continue
			}
			t.at, t.strides = append(t.at, i), append(t.strides, size)
			size *= len(pools[i])
			last = max(last, i)
		}
		t.seen = make([]verdict, size)
		s.tables[last] = append(s.tables[last], t)
	}
	return s
}

// verdict looks a rule's verdict up for a hand, or works it out.
func (s *searcher) verdict(t *table, h hand) verdict {
	k := 0
	for i, place := range t.at {
		k += h[place] * t.strides[i]
	}
	if !t.seen[k].known {
		c := s.cards(h, t.at)
		t.seen[k] = weighed(t.rule.check(s.judge, &c, false))
	}
	return t.seen[k]
}

// cards lays out the candidates at some places of a hand.
func (s *searcher) cards(h hand, at []int) cards {
	var c cards
	for _, place := range at {
		c.set(s.roles[place], &s.pools[place][h[place]])
	}
	return c
}

// all lists every place of a hand.
func (s *searcher) all() []int {
	at := make([]int, len(s.roles))
	for i := range at {
		at[i] = i
	}
	return at
}

// run goes through every hand and calls visit with each one's score. The hand
// is reused between calls.
func (s *searcher) run(visit func(h hand, sc score)) {
	h := make(hand, len(s.roles))
	at := s.all()
	var walk func(i int, sc score)
	walk = func(i int, sc score) {
		if i == len(h) {
			if sc.faults == 0 {
				c := s.cards(h, at)
				v, reserve := s.judge.reserve(&c)
				sc.reserve = reserve
				sc.add(v)
			}
			visit(h, sc)
			return
		}
		for k := range s.pools[i] {
			h[i] = k
			next := sc
			if s.pools[i][k].buy {
				next.purchases += s.judge.count(s.roles[i])
			}
			for t := range s.tables[i] {
				next.add(s.verdict(&s.tables[i][t], h))
			}
			walk(i+1, next)
		}
	}
	walk(0, score{margin: math.Inf(1)})
}
