package bench

import (
	"gapbook.example/ignition"
	"gapbook.example/ignition/meter"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
)

// A Report is the answer to a job.
type Report struct {
	// BookVersion and BookDigest say which book answered.
	BookVersion, BookDigest string
	// Engine is the id of the engine in the book, or empty.
	Engine string
	// Label is the engine in one line; System is its kind of ignition.
	Label, System string
	// Title, Note and Invented are the job's own.
	Title, Note string
	Invented    bool
	// Verdict is the answer in one word; Fit means fit for what was read.
	Verdict ignition.Verdict
	// Harness is the circuit that the job carried and that was checked; nil
	// where it carried none.
	Harness *wiring.Harness
	// Circuit is what the rules of package wiring found in it, as they put it.
	Circuit []wiring.Finding
	// Findings say everything there is to say, worst first.
	Findings []ignition.Finding
	// Judged counts readings that were decided; Read counts all.
	Judged, Read int
	// Results are the readings that one figure decided or left open, in the order
	// of the job, with the numbers behind their findings.
	Results []Result
	// NotRead lists figures that the book has and the job does not.
	NotRead []Unread
	// Assumed lists what was taken for granted.
	Assumed []string
	// Cautions are the warnings that belong to the work at hand.
	Cautions []Caution
	// Sources lists the documents cited, in the order of their first use.
	Sources []string
}

// A Result is one reading judged against one figure.
type Result struct {
	// Title is the quantity, with the name of the reading where it has one.
	Title string
	// Text is the reading as it was written.
	Text string
	// Limit is what it should be, in words.
	Limit string
	meter.Result
}

// Unread is a quantity that was not read, with what it should be.
type Unread struct {
	Quantity specs.Key
	Title    string
	Limit    string
	Source   string
}

// A Caution is a warning and who says so. Person is true where somebody can be
// hurt, and false where only a part or a reading can be spoiled.
type Caution struct {
	ID, Text, Source string
	Person           bool
}
