package wiring

import (
	"strings"
)

// RuleCannotStop finds an engine that goes on sparking with the key in off.
const RuleCannotStop = "cannot-stop"

func cannotStop(c *checker) {
	for i := range c.makers {
		m := &c.makers[i]
		s := State{Key: c.off, Engine: Runs}
		if len(c.h.keys) > 0 && c.stops(m, s) || c.buttonStops(m) {
			continue
		}
		if len(c.h.keys) == 0 {
			s = c.running()
			if !c.fires(m, s) {
				continue // it does not run at all
			}
		}
		_, closed, _ := c.step(m, s)
		f := fault("", m.Name).figure("primary current", amps(closed)+", still started and stopped by the breaker", "none, or none that is interrupted", "").
			harm("the engine cannot be stopped by its key, and a hot engine or a turn by hand may fire").shown(c.h, s)
		if m.own {
			f.Text = "the stop position leaves " + m.Name + " live: its kill terminal " + m.kill + " is not grounded well enough there"
			if way := c.h.trail(m.kill, c.h.nodes[c.h.ref].addr, c.at(c.opened(s)), seriesKinds); way != nil {
				f.Path = way.String()
				f.Names = append(f.Names, way.names()...)
			}
			f = f.cure("ground " + m.kill + " in the stop position; have a second way to stop ready")
		} else {
			way := c.at(s).Path(c.live, m.feed)
			if strings.HasSuffix(c.live, ".minus") {
				way = c.at(s).Path(m.feed, c.live)
			}
			f.Text = "the stop position does not open the feed of " + m.Name
			f = f.path(way.String()).cure("let the feed pass the key's contact that opens in off; have a second way to stop ready")
			f.Names = append(f.Names, way.names()...)
		}
		if _, key, ok := c.h.Switch(); ok {
			f.Names = append(f.Names, key)
		}
		f.Names = append(f.Names, c.h.Buttons()...)
		f.Names = unique(f.Names)
		c.add(f)
	}
}

// buttonStops reports whether a button stops the engine.
func (c *checker) buttonStops(m *maker) bool {
	for i := range c.h.buttons {
		if s := (State{Key: c.run, Engine: Runs, Pressed: 1 << i}); c.fires(m, c.running()) && c.stops(m, s) {
			return true
		}
	}
	return false
}
