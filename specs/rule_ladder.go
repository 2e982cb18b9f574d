package specs

import (
	"fmt"
	"slices"
)

// ladder lists pairs of quantities of one engine of which the first is always
// the smaller, whoever made it.
var ladder = []struct {
	low, high Key
	why       string
}{
	{"idle", "governed", "an engine idles below its governed speed"},
	{"idle", "rated", "an engine idles below its rated speed"},
	{"idle", "no_load", "an engine idles below its speed without load"},
	{"governed", "overspeed", "the overspeed limit lies above the governed speed"},
	{"no_load", "overspeed", "the overspeed limit lies above the speed without load"},
	{"cranking", "idle", "an engine idles faster than its starter turns it"},
	{"impulse_release", "idle", "an impulse coupling has let go at idle"},
	{"advance_start", "advance_full", "the advance begins before it is full"},
	{"compression_spread", "compression", "cylinders differ by less than they have"},
	{"points_gap", "points_opening_limit", "the gap lies within what the points can open"},
	{"timing_tolerance", "advance_range", "a setting is held closer than an advance moves"},
	{Primary, Secondary, "a secondary has many more turns of thinner wire than its primary"},
	{"battery_cranking", "battery_rest", "a starter pulls the battery down"},
	{"points_resistance", Primary, "closed points have less resistance than a coil"},
}

// earlier and later are labels of one timing at different speeds.
var (
	laterSettings   = []string{"static", "least-advance", "retarded", "idle", "starting"}
	earlierSettings = []string{"full-advance"}
)

// ruleLadder holds figures of one engine to the order they must have.
//
// Idle below governed speed, governed below overspeed, static timing no earlier
// than full advance, primary below secondary: the order follows from what the
// words mean, so one of two figures that break it is wrong, or stands under the
// wrong quantity.
//
// Refused: idle 3600 rpm and governed 1200 rpm.
var ruleLadder = lintRule{code: "ladder", table: func(l *linter, t *linted) {
	if _, ok := t.value.(*Engine); !ok {
		return
	}
	usable := func(c claim) bool { return !c.Band.IsZero() && c.Status != Doubtful }
	complain := func(low, high claim, why string) {
		for _, c := range []struct{ this, that claim }{{low, high}, {high, low}} {
			l.claim(c.this, c.this.values()[0].key, fmt.Sprintf("%s is %s and %s is %s, but %s", c.this.info.Title, c.this.Band, c.that.info.Title, c.that.Band, why),
				"look at both again; status doubtful takes a figure out of this check")
		}
	}
	for _, step := range ladder {
		for _, low := range t.claims {
			if low.Quantity != step.low || !usable(low) {
				continue
			}
			for _, high := range t.claims {
				if high.Quantity == step.high && usable(high) && together(low, high) && low.middle() >= high.middle() {
					complain(low, high, step.why)
				}
			}
		}
	}
	for _, early := range t.claims {
		if early.Quantity != Timing && early.Quantity != TimingPiston || !usable(early) || !labelled(early, earlierSettings) {
			continue
		}
		for _, late := range t.claims {
			if late.Quantity == early.Quantity && late.Source == early.Source && usable(late) && labelled(late, laterSettings) && !modelsApart(early, late) && late.middle() > early.middle() {
				complain(late, early, "a spark at full advance comes no later")
			}
		}
	}
}}

func labelled(c claim, labels []string) bool {
	for _, l := range labels {
		if c.Label == l {
			return true
		}
	}
	return false
}

// modelsApart reports whether two claims speak of different models or years.
func modelsApart(a, b claim) bool {
	if a.Years != "" && b.Years != "" && a.Years != b.Years {
		return true
	}
	return len(a.Models) > 0 && len(b.Models) > 0 && !slices.ContainsFunc(a.Models, func(m string) bool { return slices.Contains(b.Models, m) })
}
