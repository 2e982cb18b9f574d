package specs

import "gapbook.example/units"

// A WireTable is a published table about wires: amperes by gauge, or factors.
// The zero table is empty.
type WireTable struct {
	ID    string
	Label string
	// Gauges are the rows of a table by gauge; nil for factors and lists.
	Gauges []units.WireSize
	// Columns stand in the order of the file.
	Columns []WireColumn
	Note    string
	At      Position
}

// A WireColumn is one column of a wire table.
type WireColumn struct {
	Name string
	// Insulation is the temperature that the insulation bears; zero where the
	// column does not depend on it.
	Insulation units.Temperature
	// Amperes has one entry for each gauge, or is a list by itself.
	Amperes []units.Current
	// Factor multiplies amperes; zero where the column has amperes.
	Factor float64
	// Live is the range of current-carrying wires in a bundle that a factor is
	// for; zero where it does not depend on it.
	LiveFrom, LiveTo int
	Source           string
	Place            string
	Basis            Basis
	Note             string
	At               Position
}

// at returns the amperes of one gauge; ok is false where there is no such row.
func (c WireColumn) at(gauges []units.WireSize, size units.WireSize) (units.Current, bool) {
	for i, g := range gauges {
		if g == size && i < len(c.Amperes) {
			return c.Amperes[i], true
		}
	}
	return units.Current{}, false
}

// Amperes returns the entry of a column for one size of wire; ok is false
// where the table has no such row or column.
func (t *WireTable) Amperes(column string, size units.WireSize) (i units.Current, c WireColumn, ok bool) {
	for _, c := range t.Columns {
		if c.Name == column {
			i, ok := c.at(t.Gauges, size)
			return i, c, ok
		}
	}
	return units.Current{}, WireColumn{}, false
}
