package convert

import (
	"slices"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
)

// blanks fills the names in braces of the recipe's texts with the words and
// figures of this machine, so that no step speaks of what it does not have.
func (p *planner) blanks() map[string]string {
	b := map[string]string{
		"points_gap": "the figure of the engine's book", "plug_gap": "the figure of the engine's book", "timing": "the mark of the engine's book", "timing_how": "its own mark on wheel or cover",
		"flywheel_nut": "the maker's figure", "air_gap": "the figure of the module's paper", "stop_limit": p.most("stop_switch", "little"), "spark_gap": p.sparkGap(), "old_reading": p.oldReading(),
	}
	var how []string
	for _, s := range p.plan.Settings {
		b[s.Name] = s.Value
		if s.Name == "timing_piston" || s.Name == "timing_rim" {
			how = append(how, s.Value)
		}
	}
	if len(how) > 0 {
		b["timing_how"] = strings.Join(how, ", or ")
	}
	p.poleWords(b)
	p.keyWords(b)
	p.partWords(b)
	p.machineWords(b)
	return b
}

// poleWords name the battery's posts and the coil's terminals.
func (p *planner) poleWords(b map[string]string) {
	post := func(g ignition.Polarity, live bool) string {
		if (g == ignition.PositiveGround) == live {
			return "minus"
		}
		return "plus"
	}
	ground := p.plan.After.Ground()
	b["live_post"], b["dead_post"] = post(ground, true), post(ground, false)
	b["old_live_post"], b["old_dead_post"] = b["live_post"], b["dead_post"]
	if p.plan.Before != nil && len(p.plan.Before.OfKind(wiring.Battery)) > 0 {
		old := p.plan.Before.Ground()
		b["old_live_post"], b["old_dead_post"] = post(old, true), post(old, false)
	}
	b["coil_feed"], b["coil_points"] = "the plus terminal (15, +)", "the minus terminal (1, -)"
	if ground == ignition.PositiveGround {
		b["coil_feed"], b["coil_points"] = b["coil_points"], b["coil_feed"]
	}
}

// keyWords name the switch, its positions and its terminals.
func (p *planner) keyWords(b map[string]string) {
	b["switch"], b["key"] = "key switch", "key"
	b["battery_terminal"], b["feed_terminal"], b["start_terminal"] = "battery terminal", "the feed terminal", "start"
	b["positions"], b["live_in"], b["stop_action"] = "off and run", "run", "turn the key to off"
	if t, _, ok := p.plan.After.Switch(); ok {
		var all []string
		for _, x := range t.Positions {
			all = append(all, x.Name)
		}
		b["switch"], b["positions"] = t.Label, list(all)
		b["battery_terminal"], b["feed_terminal"] = orText(t.Roles.Battery, b["battery_terminal"]), orText(t.Roles.Feed, b["feed_terminal"])
		b["start_terminal"] = orText(t.Roles.Starter, b["start_terminal"])
		if t.Roles.Starter == "" {
			b["key"], b["stop_action"] = "switch", "turn the switch to off"
		} else {
			b["live_in"] = "run and start"
		}
	}
	if p.after.StopButton {
		b["key"], b["stop_action"] = "switch", "press the stop button"
	}
	b["key_up"] = upper(b["key"])
}

// partWords name parts by their attributes.
func (p *planner) partWords(b map[string]string) {
	h := p.plan.After
	b["fuse"], b["coil"], b["coil_parts"] = "fuse of the list", "as the list has it", "coil"
	if f := firstOf(h, wiring.Fuse); f.Name != "" {
		b["fuse"] = f.Values[wiring.Rating].Nominal.Display()
	}
	if c := firstOf(h, wiring.Coil); c.Name != "" {
		b["coil"] = rangeText(c.Values[wiring.Primary]) + " of primary"
		if x := firstOf(h, wiring.Ballast); x.Name != "" {
			b["coil_parts"] = "coil and ballast"
			b["coil"] += " and " + rangeText(x.Values[wiring.Resistance]) + " of ballast"
		}
	}
	b["values"] = "coil " + b["coil"]
	if c := firstOf(h, wiring.Condenser); c.Name != "" {
		b["values"] += ", condenser " + rangeText(c.Values[wiring.Capacitance])
	}
	b["breaker_metal"], b["breaker_wire"] = "points plate", "the wire of the points"
	if len(h.OfKind(wiring.Points)) == 0 {
		b["breaker_metal"], b["breaker_wire"] = "case of the module", "the module's output"
	}
	for _, e := range slices.Concat(p.plan.Comes, p.plan.Changed) {
		if e.Kind == string(wiring.Battery) {
			b["battery_in"] = ", the battery in its tray and held down"
		}
	}
	b["plugs"], b["leads"] = "the plug", "the plug lead"
	if p.job.Engine.Twin {
		b["plugs"], b["leads"] = "both plugs", "both plug leads"
	}
	b["leads_up"] = upper(b["leads"])
}

// machineWords name what the machine drives and how it is stopped from harm.
func (p *planner) machineWords(b map[string]string) {
	m := p.job.Machine
	b["loads"] = orText(m.LoadsNamed, "whatever it has")
	b["spin"] = "pull it over smartly by rope or crank"
	if m.Starter {
		b["spin"] = "crank it with the starter"
	}
	b["spin_up"] = upper(b["spin"])
	names := map[string]string{"drive": "the drive", "pto": "the PTO"}
	var locks, driven []string
	for _, l := range p.startLocks() {
		driven = append(driven, names[l])
		locks = append(locks, names[l]+" switch")
	}
	b["driven"], b["each_lock"], b["each_lock_proof"] = "what it drives", "what it drives", "with anything engaged"
	if len(driven) > 0 {
		b["driven"], b["each_lock_proof"] = list(driven), "with "+strings.Join(driven, " engaged, nor with ")+" engaged"
		b["each_lock"] = "engage " + strings.Join(driven, " and turn the key to start; free it again and do the same with ")
		if len(driven) == 1 {
			b["each_lock"] += " and turn the key to start"
		}
	}
	stay := " stays"
	b["lock_it"] = "it"
	if len(locks) > 1 {
		stay, b["lock_it"] = " stay", "each"
	}
	b["locks_up"] = upper(list(locks) + stay)
	if p.holds("seat") {
		b["seated"], b["seated_up"] = "somebody on the seat, ", "Somebody on the seat: "
		b["spin_up"] = b["spin"]
	}
}

func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// list joins words: "off, run and start".
func list(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// most is the greatest figure that the book allows for a quantity.
func (p *planner) most(key specs.Key, otherwise string) string {
	if l, ok := p.book.Limits(key); ok {
		for _, b := range l.Bands {
			if !b.Band.Max.IsZero() {
				return b.Band.Max.Quantity.Display()
			}
		}
	}
	return otherwise
}

// sparkGap is the gap that a spark of the new system should jump, with who says
// so.
func (p *planner) sparkGap() string {
	if l, ok := p.book.Limits("spark_test_gap"); ok {
		for _, f := range l.Bands {
			if slices.Contains(f.Systems, p.plan.To.String()) && !f.Band.Nominal.IsZero() {
				return f.Band.Nominal.Quantity.Display() + " (" + p.cite(f.Source, f.Place) + ")"
			}
		}
	}
	return "the tester's gap, set as its paper says"
}

// oldReading says what windings of the old unit should read.
func (p *planner) oldReading() string {
	var out []string
	for _, key := range []specs.Key{"primary", "secondary"} {
		if band, _, ok := p.band(key); ok {
			info, _ := specs.Quantity(key)
			out = append(out, info.Title+" "+band.String()+" ("+band.Source+")")
		}
	}
	if out == nil {
		return "the book has no ohms for it, its spark decides"
	}
	return "as a guide " + strings.Join(out, ", ")
}

func orText(a, b string) string {
	if a != "" {
		return a
	}
	return b
}
