package main

import (
	"slices"

	"gapbook.example/ignition"
	"gapbook.example/ignition/bench"
	"gapbook.example/ignition/convert"
	"gapbook.example/ignition/sheet"
	"gapbook.example/ignition/spark"
	"gapbook.example/ignition/timing"
	"gapbook.example/ignition/trace"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
)

// A kind is a kind of file: the keys that only it has, and how it is laid out.
type kind struct {
	keys []string
	lay  func(book *specs.Book, name string, src []byte) (doc *sheet.Document, fault bool, err error)
}

// kinds are tried in their order; the last takes what no other knows.
var kinds = []kind{
	{[]string{"parts", "wires"}, layHarness},
	{[]string{"convert"}, layPlan},
	{[]string{"answers", "again", "fitted"}, layTrace},
	// Before settings, which also have [points].
	{[]string{"coil", "battery", "magnet", "charge_coil", "store", "thyristor", "igniter", "trembler", "plug", "run"}, laySpark},
	{[]string{"setting", "measured", "advance", "magneto", "points"}, layCard},
	{nil, layJob},
}

// laidOut reads a file by the keys that it has.
func laidOut(book *specs.Book, name string, src []byte) (doc *sheet.Document, fault bool, err error) {
	parsed, problems := gate.Read(name, src)
	if problems != nil {
		return nil, false, problems
	}
	for _, k := range kinds {
		has := func(n *gate.Node) bool { return slices.Contains(k.keys, n.Key) }
		if k.keys == nil || slices.ContainsFunc(parsed.Root.Children, has) {
			return k.lay(book, name, src)
		}
	}
	panic("no kind takes the rest")
}

func layJob(book *specs.Book, name string, src []byte) (*sheet.Document, bool, error) {
	job, err := bench.ReadJob(name, src)
	if err != nil {
		return nil, false, err
	}
	report, err := bench.Check(book, job)
	if err != nil {
		return nil, false, err
	}
	doc := sheet.ReportDocument(report)
	pictures, err := sheet.ReportPictures(report)
	if err != nil {
		return nil, false, err
	}
	doc.Illustrate(pictures...)
	return doc, report.Verdict == ignition.Unfit, nil
}

func layHarness(book *specs.Book, name string, src []byte) (*sheet.Document, bool, error) {
	h, err := wiring.Read(book, name, src)
	if err != nil {
		return nil, false, err
	}
	report, err := wiring.Check(book, h)
	if err != nil {
		return nil, false, err
	}
	out := sheet.Harness{Book: book, Harness: h, Report: report, State: h.UsualState()}
	doc, err := sheet.WiringDocument(out)
	if err != nil {
		return nil, false, err
	}
	one, err := sheet.HarnessPicture(h, out.State, report.Findings)
	if err != nil {
		return nil, false, err
	}
	doc.Illustrate(one)
	return doc, out.Verdict() == ignition.Unfit, nil
}

func layCard(book *specs.Book, name string, src []byte) (*sheet.Document, bool, error) {
	c, err := timing.ReadCase(name, src)
	if err != nil {
		return nil, false, err
	}
	card, err := timing.NewCard(book, c)
	if err != nil {
		return nil, false, err
	}
	return sheet.CardDocument(card), card.Verdict == ignition.Unfit, nil
}

func layPlan(book *specs.Book, name string, src []byte) (*sheet.Document, bool, error) {
	job, err := convert.ReadJob(name, src)
	if err != nil {
		return nil, false, err
	}
	plan, err := convert.NewPlan(book, job)
	if err != nil {
		return nil, false, err
	}
	doc := sheet.PlanDocument(plan)
	doc.Illustrate(sheet.PlanPictures(plan)...)
	return doc, plan.Verdict == convert.NotAdvised || plan.Verdict == convert.NotPossible, nil
}

func layTrace(book *specs.Book, name string, src []byte) (*sheet.Document, bool, error) {
	record, err := trace.ReadRecord(book, name, src)
	if err != nil {
		return nil, false, err
	}
	c, err := record.Open(book, name)
	if err != nil {
		return nil, false, err
	}
	t := sheet.Trace{Book: book, Record: record, Case: c}
	doc := sheet.TraceDocument(t)
	doc.Illustrate(sheet.TracePictures(t)...)
	return doc, sheet.TraceVerdict(c) == ignition.Unfit, nil
}

func laySpark(book *specs.Book, name string, src []byte) (*sheet.Document, bool, error) {
	c, err := spark.ReadCase(name, src)
	if err != nil {
		return nil, false, err
	}
	report, err := spark.NewReport(book, c, spark.UsualSparks)
	if err != nil {
		return nil, false, err
	}
	doc, err := sheet.SparkDocument(report)
	return doc, false, err
}
