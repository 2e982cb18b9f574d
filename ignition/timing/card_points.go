package timing

import (
	"strings"

	"gapbook.example/units"
)

// sensitivity returns how timing moves with the gap: the engine's own figure,
// or the class band of the book.
func (m *maker) sensitivity() Sensitivity {
	p := m.c.Points
	if own, ok := p.PerDegree.Get(); ok {
		return Sensitivity{Least: own, Most: own, Says: p.PerDegreeSays}
	}
	low, ok := m.usual.perDegree.Band.Min.Quantity.LengthPerCrankAngle()
	high, _ := m.usual.perDegree.Band.Max.Quantity.LengthPerCrankAngle()
	if !ok {
		return Sensitivity{}
	}
	return Sensitivity{Least: low, Most: high, Says: "usual band (" + strings.ReplaceAll(string(m.usual.perDegree.Basis), "-", " ") + ")"}
}

// hasPoints reports whether the engine has points at all, as far as is known.
func (m *maker) hasPoints() bool {
	if !m.c.Points.Gap.IsZero() || m.c.Points.PerDegree.IsKnown() || m.c.Points.Dwell.IsKnown() {
		return true
	}
	return strings.Contains(m.c.System, "points")
}

// points fills what gap, dwell and timing have to do with one another.
func (m *maker) points() {
	if !m.hasPoints() {
		return
	}
	m.keys = append(m.keys, "points_gap")
	p := m.c.Points
	add := func(l Line) { m.card.Points = append(m.card.Points, l) }
	if line, ok := formOf(Line{Name: "gap", Title: "points gap", Unit: "mm", Decimals: 2, Note: p.Gap.Source}, p.Gap, printed); ok {
		add(line)
	} else {
		m.ask("the points gap that the engine's own book gives")
	}
	s := m.sensitivity()
	if !s.IsKnown() {
		return
	}
	own := s.Least == s.Most
	exact := func(q units.Quantity) Figure { f, _ := printed(q); return f }
	if own {
		add(Line{Name: "gap_per_degree", Title: "gap that moves the timing 1°", Unit: "thou/°", Decimals: 2, Nominal: exact(s.Likely().Quantity()), Note: s.Says})
	} else {
		add(Line{Name: "gap_per_degree", Title: "gap that moves the timing 1°", Unit: "thou/°", Decimals: 2,
			Min: exact(s.Least.Quantity()), Nominal: exact(s.Likely().Quantity()), Max: exact(s.Most.Quantity()), Note: s.Says})
		m.assume("how far the timing moves with the gap: " + s.Says + ". " + m.usual.perDegree.Note)
	}
	feeler := within(m.usual.feeler)
	one := s.Shift(Give(units.Thou(1), units.Metres(feeler)))
	line := Line{Name: "timing_per_thou", Title: "1 thou wider opens earlier by", Unit: "°", Decimals: 1,
		Nominal: Figure{one.Likely.Quantity(), one.Uncertainty.Quantity()}, Note: "± is what feelers add; a worn block or a paper slip takes as much away"}
	if !own {
		line.Min, line.Max = exact(one.Least.Quantity()), exact(one.Most.Quantity())
	}
	add(line)
	m.curve(s, own, add)
	if dwell, ok := p.Dwell.Get(); ok {
		add(Line{Name: "dwell", Title: "dwell, of the lobe's shaft", Unit: "° cam", Decimals: 0, Nominal: exact(dwell.Quantity())})
		if p.HasDrive {
			add(Line{Name: "dwell_share", Title: "dwell, share of the time", Unit: "%", Decimals: 1, Nominal: exact(p.Drive.DwellShare(dwell).Quantity())})
		}
	}
	if !p.HasDrive {
		m.ask("what works the points: lobes, and turns of their shaft for one of the crank, for dwell and spark rate")
	}
}

// curve says what the ends of the gap's band do to the timing, along the
// opening curve, for the shares of the lift that the book takes for usual.
func (m *maker) curve(s Sensitivity, own bool, add func(Line)) {
	gap := m.c.Points.Gap
	nominal, ok := gap.middle()
	low, hasLow := m.usual.liftShare.Band.Min.Quantity.Ratio()
	high, hasHigh := m.usual.liftShare.Band.Max.Quantity.Ratio()
	if !ok || !own || !hasLow || !hasHigh {
		return
	}
	feeler := units.Metres(within(m.usual.feeler))
	for _, end := range []struct {
		name, title string
		q           units.Quantity
	}{{"timing_at_least_gap", "at the least gap, later by", gap.Min}, {"timing_at_greatest_gap", "at the greatest gap, earlier by", gap.Max}} {
		if end.q.Kind() == 0 || end.q == nominal {
			continue
		}
		line := Line{Name: end.name, Title: end.title, Unit: "°", Decimals: 1, Note: "along the opening curve, the gap taking up " + low.String() + " to " + high.String() + " of the lift (assumed)"}
		var found []Measured[units.CrankAngle]
		for _, share := range []units.Ratio{low, units.Number((low.Number() + high.Number()) / 2), high} {
			b, err := FromSlope(length(nominal), s.Likely(), share, m.c.Points.Drive)
			if err != nil {
				return
			}
			if e, err := b.Earlier(Give(length(nominal), feeler), Give(length(end.q), feeler)); err == nil {
				found = append(found, e)
			}
		}
		if len(found) != 3 {
			continue // one of the curves does not reach that far
		}
		if end.q.Cmp(nominal) < 0 {
			for i := range found {
				found[i].Value = found[i].Value.Scale(-1)
			}
		}
		line.Nominal = figure(found[1])
		line.Min, line.Max = figure(found[0]), figure(found[2])
		if line.Min.Value.Cmp(line.Max.Value) > 0 {
			line.Min, line.Max = line.Max, line.Min
		}
		line.Min.Uncertainty, line.Max.Uncertainty = units.FromSI(units.KindCrankAngle, 0), units.FromSI(units.KindCrankAngle, 0)
		add(line)
	}
}

// running fills what happens at speed.
func (m *maker) running() {
	c := m.c
	add := func(l Line) { m.card.Running = append(m.card.Running, l) }
	exact := func(q units.Quantity) Figure { f, _ := printed(q); return f }
	start, hasStart := c.Start.Get()
	full, hasFull := c.Full.Get()
	early, late, hasBoth := m.endsOfAdvance()
	if hasStart && hasFull && hasBoth {
		if a, err := TwoSpeeds(start, full, late, early); err == nil {
			m.keys = append(m.keys, "advance_start")
			for _, n := range []units.Speed{start, start.Add(full).Scale(0.5), full} {
				at := a.At(Measured[units.Speed]{Value: n})
				add(Line{Name: "advance", Title: "timing at " + n.Quantity().Display(), Unit: "° BTDC", Decimals: 1, Nominal: figure(at)})
			}
		} else {
			m.ask("the speeds of the advance: " + err.Error())
		}
	}
	if c.Points.HasDrive && hasFull {
		rate := c.Points.Drive.SparkRate(Exactly(full))
		add(Line{Name: "spark_rate", Title: "sparks at " + full.Quantity().Display(), Unit: "Hz", Decimals: 1, Nominal: figure(rate)})
		if dwell, ok := c.Points.Dwell.Get(); ok {
			t := c.Points.Drive.DwellTime(Exactly(c.Points.Drive.DwellShare(dwell)), Exactly(full))
			add(Line{Name: "dwell_time", Title: "points closed, at that speed", Unit: "ms", Decimals: 2, Nominal: figure(t)})
		}
	}
	if c.Points.HasDrive && WastedSpark(c.Points.Drive, c.Strokes) && c.Cylinders == 1 {
		m.card.Words = append(m.card.Words, "wasted spark: the points open in every turn, so every second spark fires into the exhaust stroke; either top dead centre will do for setting")
	}
	if lag, ok := c.Lag.Get(); ok {
		turns := c.MagnetoTurns.Or(units.Ratio{})
		if l, err := ImpulseLag(Exactly(lag), turns); err == nil {
			add(Line{Name: "impulse_lag", Title: "impulse lag at the crank", Unit: "°", Decimals: 1, Nominal: figure(l)})
			if hasBoth || len(m.targets) > 0 {
				add(Line{Name: "start_timing", Title: "timing while it snaps", Unit: "° BTDC", Decimals: 1, Nominal: figure(StartTiming(Exactly(early), l))})
			}
		} else {
			m.ask("turns of the magneto for one of the crank, for the impulse lag")
		}
	}
	if gap, ok := c.EdgeGap.Get(); ok {
		line := Line{Name: "edge_gap", Title: "edge gap", Unit: "° magnet", Decimals: 1, Nominal: exact(gap.Quantity())}
		add(line)
		if rotor, ok := c.Rotor.Get(); ok {
			if s, err := EdgeGap(Exactly(gap), Give(rotor, units.Metres(within(m.usual.rule)))); err == nil {
				add(Line{Name: "edge_gap_distance", Title: "edge gap at the rotor", Unit: "mm", Decimals: 2, Nominal: figure(s)})
			}
		} else {
			m.ask("the diameter of the magneto's rotor, for the edge gap in millimetres")
		}
	}
	bank, hasBank := c.Bank.Get()
	pins, hasPins := c.Pins.Get()
	if c.Cylinders == 2 && hasBank && hasPins {
		first, second := Twin{Strokes: c.Strokes, Bank: bank, Pins: pins}.Firing()
		add(Line{Name: "firing", Title: "from cylinder 1 to 2", Unit: "°", Decimals: 0, Nominal: exact(first.Quantity())})
		add(Line{Name: "firing", Title: "from cylinder 2 to 1", Unit: "°", Decimals: 0, Nominal: exact(second.Quantity())})
	}
}

// endsOfAdvance returns the greatest and the least timing asked for; ok is
// false where there is but one.
func (m *maker) endsOfAdvance() (early, late units.CrankAngle, ok bool) {
	for i, t := range m.targets {
		q := t.band.Nominal
		if q.Kind() == 0 {
			q, _ = Limits{Min: t.band.Min, Max: t.band.Max}.middle()
		}
		a, _ := q.CrankAngle()
		if i == 0 || a.Cmp(early) > 0 {
			early = a
		}
		if i == 0 || a.Cmp(late) < 0 {
			late = a
		}
	}
	return early, late, early.Cmp(late) > 0
}

// compression fills what a gauge should show.
func (m *maker) compression() {
	c := m.c
	if line, ok := formOf(Line{Name: "compression", Title: "in print", Unit: "psi", Decimals: 0, Note: c.Compression.Source}, c.Compression, printed); ok {
		m.card.Compression = append(m.card.Compression, line)
	}
	ratio, ok := c.Ratio.Get()
	least, hasLeast := m.usual.exponent.Band.Min.Quantity.Ratio()
	most, hasMost := m.usual.exponent.Band.Max.Quantity.Ratio()
	if !ok || !hasLeast || !hasMost {
		return
	}
	air := AirPressure(c.Height.Or(units.Length{}))
	band, err := CompressionBand(ratio, least, most, air)
	if err != nil {
		return
	}
	exact := func(q units.Quantity) Figure { f, _ := printed(q); return f }
	m.card.Compression = append(m.card.Compression, Line{
		Name: "compression_expected", Title: "a sound cylinder, gauge", Unit: "psi", Decimals: 0, Min: exact(band.Min), Max: exact(band.Max),
		Note: "from " + ratio.String() + " to 1 with nothing lost, in air of " + air.Quantity().Text("kPa", 1) + "; late valves, leaks and releases lower it",
	})
	warm := Compression{Ratio: Exactly(ratio), Exponent: Exactly(most), Air: Exactly(air)}.Temperature(units.Celsius(20))
	m.card.Compression = append(m.card.Compression, Line{Name: "charge_temperature", Title: "charge at the top, at most", Unit: "°C", Decimals: 0, Nominal: exact(warm.Quantity()),
		Note: "from 20 °C"})
	if !c.Height.IsKnown() {
		m.assume("air as at sea level for the compression")
	}
}
