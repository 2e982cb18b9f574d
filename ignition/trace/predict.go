package trace

import (
	"math"

	"gapbook.example/specs"
)

// An alt is one way in which a fault moves a reading: with weight w it reads
// next to nothing (low), is out of range (high), or moves by shift, give or
// take sd, in x.
type alt struct {
	w         float64
	low, high bool
	shift, sd float64
}

// healthyAlts is what no fault does.
var healthyAlts = []alt{{w: 1}}

// changeAlts is what the table says that a fault does to a quantity; nil for
// nothing.
func changeAlts(f *specs.Fault, q *specs.FaultQuantity) []alt {
	for _, c := range f.Changes {
		if c.Quantity != q.ID {
			continue
		}
		switch {
		case c.Open:
			return []alt{{w: 1, high: true}}
		case c.Short || !q.Additive && c.Times == 0:
			return []alt{{w: 1, low: true}}
		case q.Additive:
			return []alt{{w: 1, shift: c.Shift, sd: c.Spread}}
		default:
			return []alt{{w: 1, shift: math.Log(c.Times), sd: c.Spread}}
		}
	}
	return nil
}

// showing mixes what a fault does with nothing, by the chance that it shows.
func showing(alts []alt, show float64) []alt {
	if show >= 1 || alts == nil {
		return alts
	}
	if show <= 0 {
		return nil
	}
	mixed := make([]alt, 0, len(alts)+1)
	for _, a := range alts {
		a.w *= show
		mixed = append(mixed, a)
	}
	return append(mixed, alt{w: 1 - show})
}

// both is what two faults do together: factors multiply, an open wins over
// everything, next to nothing over a mere change.
func both(a, b []alt) []alt {
	switch {
	case a == nil:
		return b
	case b == nil:
		return a
	}
	list := make([]alt, 0, len(a)*len(b))
	for _, x := range a {
		for _, y := range b {
			list = append(list, alt{w: x.w * y.w, high: x.high || y.high, low: x.low || y.low,
				shift: x.shift + y.shift, sd: math.Hypot(x.sd, y.sd)})
		}
	}
	return list
}

// sparkEffect is what a fault does to spark volts.
type sparkEffect struct {
	dead      bool
	shift, sd float64
}

// sparkChange is the effect that the table states, of the quantity of a spark
// test; ok is false where it states none. At working speed it is the same share
// as at the pull of a cord unless the table says otherwise.
func sparkChange(f *specs.Fault, quantity string) (e sparkEffect, ok bool) {
	find := func(id string) bool {
		for _, c := range f.Changes {
			if c.Quantity == id {
				e = sparkEffect{dead: c.Short || c.Times == 0 && !c.Open, sd: c.Spread}
				if !e.dead {
					e.shift = math.Log(c.Times)
				}
				return true
			}
		}
		return false
	}
	return e, find(quantity) || quantity == "spark-volts-at-speed" && find("spark-volts")
}

// A node is one state of the causes that the readings of a call share, in
// standard deviations; leads in shares of what the leads read.
type node struct{ spark, battery, scale, copper, leads float64 }

// fiveNodes are five states of equal chance. Each column holds the quintile
// middles of a normal distribution (leads: three in five read them off), in
// orders that do not follow one another, so that no two causes are mistaken for
// one.
var fiveNodes = []node{
	{-1.2816, 0, 0.5244, -0.5244, 0},
	{-0.5244, -1.2816, -1.2816, 1.2816, 1},
	{0, 1.2816, 0, -1.2816, 0},
	{0.5244, -0.5244, 1.2816, 0.5244, 0},
	{1.2816, 0.5244, -0.5244, 0, 1},
}

// threeNodes are the same for pairs of faults.
var threeNodes = []node{{-0.9674, 0, 0, 0.9674, 0}, {0, 0.9674, -0.9674, -0.9674, 1}, {0.9674, -0.9674, 0.9674, 0, 0}}

// rest is the share of the variance that the nodes leave out.
func rest(n int) float64 {
	if n == 3 {
		return 1 - 2*0.9674*0.9674/3
	}
	return 1 - 2*(1.2816*1.2816+0.5244*0.5244)/5
}

// sparkBands are the chances of none, weak and jumps where the spark volts have
// a share exp(mu) of the healthy ones, give or take sd.
func sparkBands(t *specs.FaultTest, mu, sd float64) [3]float64 {
	s := math.Hypot(t.EdgeSpread, sd)
	none := phi((math.Log(t.NoneBelow) - mu) / s)
	weak := phi((math.Log(t.JumpsAbove)-mu)/s) - none
	return [3]float64{none, weak, 1 - none - weak}
}

// tryChance is the chance that a try makes it better, under one fault with the
// chance show to show itself.
func tryChance(t *specs.FaultTest, f *specs.Fault, show float64) (better float64, hit bool) {
	for _, part := range t.Cleans {
		if part == f.Part {
			return show*max(f.Cleaning, t.ByChance) + (1-show)*t.ByChance, f.Cleaning > 0
		}
	}
	for _, part := range t.Swaps {
		if part == f.Part {
			return show*t.IfRight + (1-show)*t.ByChance, true
		}
	}
	if comesAndGoes(f) {
		return t.Intermittent, false
	}
	return t.ByChance, false
}

// comesAndGoes reports faults that are one state within one warming through.
func comesAndGoes(f *specs.Fault) bool { return f.Nature == "hot-only" || f.Nature == "intermittent" }
