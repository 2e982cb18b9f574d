package wiring

import (
	"fmt"
	"slices"

	"gapbook.example/specs"
	"gapbook.example/units"
)

// Run is a wire to be chosen. The zero Run has no current and no length.
type Run struct {
	// Current flows in it steadily.
	Current units.Current
	// Length is that of the wire; a return through a wire is a run of its own.
	Length units.Length
	// MaxDrop is the greatest voltage that may be lost along it; zero is no limit.
	MaxDrop units.Voltage
	// Insulation is the temperature its insulation bears; zero is unknown, and
	// then the least that the tables know is taken.
	Insulation units.Temperature
	// Temperature is that of the copper; zero means 20 °C.
	Temperature units.Temperature
	EngineSpace bool
	// Bundle is how many live wires lie together; 0 and 1 are a single wire.
	Bundle int
	// Fuse is the rating of the fuse that it lies behind; zero means the
	// smallest that carries its current.
	Fuse units.Current
	// Brief is true for a current of seconds, such as a starter's: only the drop
	// limits it, and no fuse protects it.
	Brief bool
}

// Choice is the wire chosen for a run.
type Choice struct {
	Gauge units.WireSize
	// Drop is what the run loses in it; the limit was kept with as much more
	// resistance as the book's class of wire may have.
	Drop units.Voltage
	// Allowable is what it may carry as it lies; zero for a brief run.
	Allowable units.Current
	// Fuse is the smallest rating that carries the load, and FuseLimit the
	// greatest that still protects the wire; zero for a brief run.
	Fuse, FuseLimit units.Current
	// ByDrop is true where heat alone would have allowed a thinner wire.
	ByDrop bool
	// Sources cite the tables used.
	Sources []string
}

// ChoiceError says why no wire of the tables will do.
type ChoiceError struct{ Problem string }

// Error returns the reason in plain words.
func (e *ChoiceError) Error() string { return e.Problem }

func cite(book *specs.Book, source, place string) string {
	if s, ok := book.Source(source); ok {
		return s.Cite(place)
	}
	return source
}

// Allowable returns the steady amperes that a copper wire may carry as it lies,
// by the book's tables of amperes at 30 °C and the factors for engine spaces
// and bundles, with the sources. An insulation between two columns counts as
// the lower, an unknown one as the lowest; a size between two gauges as the
// smaller. ok is false for a wire thinner than the tables.
func Allowable(book *specs.Book, size units.WireSize, insulation units.Temperature, engineSpace bool, bundle int) (i units.Current, sources []string, ok bool) {
	t, found := book.WireTable("ampacity")
	if !found {
		return i, nil, false
	}
	column := -1
	for k, c := range t.Columns {
		if column < 0 || c.Insulation.Cmp(insulation) <= 0 && c.Insulation.Cmp(t.Columns[column].Insulation) > 0 {
			column = k
		}
	}
	i, c, ok := rowFor(t, t.Columns[column].Name, size)
	if !ok {
		return units.Current{}, nil, false
	}
	sources = append(sources, cite(book, c.Source, c.Place))
	if f, found := book.WireTable("engine-space"); engineSpace && found {
		for _, e := range f.Columns {
			if e.Insulation == c.Insulation {
				i = i.Scale(e.Factor)
				sources = append(sources, cite(book, e.Source, e.Place))
			}
		}
	}
	if f, found := book.WireTable("bundle"); bundle > 1 && found {
		for _, e := range f.Columns {
			if bundle >= e.LiveFrom && (bundle <= e.LiveTo || e.Name == f.Columns[len(f.Columns)-1].Name) {
				i = i.Scale(e.Factor)
				sources = append(sources, cite(book, e.Source, e.Place))
			}
		}
	}
	return i, sources, true
}

// rowFor reads a column at the greatest gauge that is no thicker than size.
func rowFor(t *specs.WireTable, column string, size units.WireSize) (units.Current, specs.WireColumn, bool) {
	best := units.WireSize{}
	for _, g := range t.Gauges {
		if g.Cmp(size) <= 0 && g.Cmp(best) > 0 {
			best = g
		}
	}
	return t.Amperes(column, best)
}

// FuseLimit returns the greatest fuse that protects a wire, by the book's table
// of fuses, but never more than the wire may carry, with the sources. ok is
// false for a wire thinner than the tables.
func FuseLimit(book *specs.Book, size units.WireSize, insulation units.Temperature, engineSpace bool, bundle int) (i units.Current, sources []string, ok bool) {
	t, found := book.WireTable("fuse")
	if !found {
		return i, nil, false
	}
	i, c, ok := rowFor(t, "fuse", size)
	if !ok {
		return i, nil, false
	}
	sources = []string{cite(book, c.Source, c.Place)}
	if heat, more, ok := Allowable(book, size, insulation, engineSpace, bundle); ok && heat.Cmp(i) < 0 {
		return heat, more, true
	}
	return i, sources, true
}

// FuseFor returns the smallest rating that fuses are sold in and that carries a
// steady load. ok is false where none does.
func FuseFor(book *specs.Book, load units.Current) (i units.Current, ok bool) {
	t, found := book.WireTable("ratings")
	if !found || len(t.Columns) == 0 {
		return i, false
	}
	share := 1.0
	if f, found := book.WireTable("fuse-load"); found {
		share = f.Columns[0].Factor
	}
	for _, r := range t.Columns[0].Amperes {
		if r.Amperes()*share >= load.Amperes() && (!ok || r.Cmp(i) < 0) {
			i, ok = r, true
		}
	}
	return i, ok
}

// wireSpread is how far the resistance of a wire may be off, as a share.
func wireSpread(book *specs.Book) float64 {
	if c, ok := book.PartClass("wire"); ok {
		if v, ok := c.Typical("spread", "", units.Voltage{}); ok {
			return v.Band.Nominal.Quantity.SI()
		}
	}
	return 0
}

// ChooseWire returns the thinnest wire of the book's tables that keeps the drop
// and heat limits of a run and that a fuse for its load protects. The error is
// a [*ChoiceError].
func ChooseWire(book *specs.Book, r Run) (Choice, error) {
	t, ok := book.WireTable("ampacity")
	if !ok {
		return Choice{}, &ChoiceError{"the book has no table of amperes by gauge"}
	}
	if r.Current.Amperes() < 0 || r.Length.Metres() < 0 {
		return Choice{}, &ChoiceError{"a run has no current or length below nothing"}
	}
	temperature := r.Temperature
	if temperature.IsZero() {
		temperature = units.Celsius(20)
	}
	spread := wireSpread(book)
	fuse, fused := units.Current{}, true
	if !r.Brief {
		if fuse, fused = FuseFor(book, r.Current); !fused {
			return Choice{}, &ChoiceError{fmt.Sprintf("no fuse of the table carries %s", r.Current)}
		}
		if r.Fuse.Cmp(fuse) > 0 {
			fuse = r.Fuse
		}
	}
	gauges := slices.Clone(t.Gauges)
	slices.SortFunc(gauges, units.WireSize.Cmp)
	heatOK := false
	for _, g := range gauges {
		c := Choice{Gauge: g, Fuse: fuse}
		c.Drop = units.Volts(g.Copper(temperature).OhmsPerMetre() * r.Length.Metres() * r.Current.Amperes())
		if !r.Brief {
			var more []string
			c.Allowable, c.Sources, _ = Allowable(book, g, r.Insulation, r.EngineSpace, r.Bundle)
			c.FuseLimit, more, _ = FuseLimit(book, g, r.Insulation, r.EngineSpace, r.Bundle)
			for _, s := range more {
				if !slices.Contains(c.Sources, s) {
					c.Sources = append(c.Sources, s)
				}
			}
			// The limit of the fuse is never above what the wire may carry, and
			// the fuse never below the load.
			if c.FuseLimit.Cmp(fuse) < 0 {
				continue
			}
		}
		if !r.MaxDrop.IsZero() && c.Drop.Scale(1+spread).Cmp(r.MaxDrop) > 0 {
			heatOK = true
			continue
		}
		c.ByDrop = heatOK
		return c, nil
	}
	return Choice{}, &ChoiceError{fmt.Sprintf("no wire of the table carries %s over %s within its limits; shorten the run", r.Current, r.Length)}
}
