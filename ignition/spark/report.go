package spark

import (
	"errors"

	"gapbook.example/specs"
)

// A Report is a set with all that is computed of it: one spark, and what is in
// reserve from cranking to top speed. The zero Report holds nothing.
type Report struct {
	// Book has the sources that the set's origins name.
	Book *specs.Book
	// Case is the set as somebody wrote it down; nil where the book gave it.
	Case *Case
	// Set is what sparks; nil for igniters and trembler coils.
	Set *Set
	// LowTension is an igniter's or a trembler's coil, and nil for all else; of
	// a case it has neither engine nor origins.
	LowTension *LowTensionSet
	// Event is the spark; nought for a low-tension coil. Of a magneto and of a
	// capacitor-discharge set Magneto and Discharge hold it too, and Low holds
	// what a low-tension coil holds; nil elsewhere.
	Event     Event
	Magneto   *MagnetoEvent
	Discharge *DischargeEvent
	Low       *LowTensionEvent
	// Reserves are the reserve and the chance of a miss in the set's situations,
	// Curve evenly over speeds between; none where a case has no cylinder.
	Reserves, Curve []Chance
}

// UsualSparks is how many sparks a report draws in each situation where nobody
// says: enough to tell a chance of 1 in 150 from none.
const UsualSparks = 1000

const (
	reportSeed    = 1
	reportWorkers = 4 // changes nothing but the time it takes
	curveSpeeds   = 9
	// The curve is looked at, so that a share of the sparks will do for it.
	curveShare = 0.12
)

// NewReport computes a case, with so many sparks drawn in each of its
// situations, 0 standing for [UsualSparks]. The error is a [Problems].
func NewReport(book *specs.Book, c *Case, sparks int) (*Report, error) {
	r := &Report{Book: book, Case: c, Set: c.Set(book)}
	if c.LowTension != nil {
		system := "make-and-break"
		if c.Trembler {
			system = "trembler"
		}
		r.LowTension = &LowTensionSet{System: system, Coil: *c.LowTension}
	}
	if err := r.compute(sparks); err != nil {
		return nil, err
	}
	return r, nil
}

// NewEngineReport computes the set of an engine of the book, trembler and igniter
// coils included: [FromBook] or [LowTensionFromBook], whose errors it returns.
// An empty system takes the record's.
func NewEngineReport(book *specs.Book, id, system string, sparks int) (*Report, error) {
	r := &Report{Book: book}
	var err error
	r.Set, err = FromBook(book, id, system)
	var other *SystemError
	if errors.As(err, &other) && (other.System == "trembler" || other.System == "make-and-break") {
		r.LowTension, err = LowTensionFromBook(book, id, other.System)
	}
	if err != nil {
		return nil, err
	}
	if err := r.compute(sparks); err != nil {
		return nil, err
	}
	return r, nil
}

func (r *Report) compute(sparks int) error {
	if r.LowTension != nil {
		e, err := ComputeLowTension(r.LowTension.Coil)
		r.Low, r.Event.Current, r.Event.Stored = &e, e.Current, e.Stored
		return err
	}
	var err error
	switch s := r.Set; {
	case s.Magneto != nil:
		var e MagnetoEvent
		e, err = ComputeMagneto(s.Magneto)
		r.Event, r.Magneto = e.Event, &e
	case s.Discharge != nil:
		var e DischargeEvent
		e, err = ComputeDischarge(s.Discharge)
		r.Event, r.Discharge = e.Event, &e
	default:
		r.Event, err = Compute(s.Parts)
	}
	if err != nil || len(r.Set.Situations) == 0 {
		return err
	}
	if sparks == 0 {
		sparks = UsualSparks
	}
	if r.Reserves, err = r.Set.Chances(nil, sparks, reportSeed, reportWorkers); err != nil {
		return err
	}
	r.Curve, err = r.Set.Curve(curveSpeeds, max(1, int(float64(sparks)*curveShare)), reportSeed, reportWorkers)
	return err
}

// Guessed reports whether the linkage of the set's magnet was not measured, so
// that its kilovolts are worth ±50 %.
func (r *Report) Guessed() bool {
	return r.Set != nil && r.Set.Parts == nil && (r.Case == nil || !r.Case.Measured)
}
