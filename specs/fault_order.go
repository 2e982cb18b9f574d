package specs

// faultsInOrder holds the order of keys in a fault table.
func (l *linter) faultsInOrder(t *linted, v *FaultTable) {
	l.inOrder(t, t.doc.Root, fieldKeys(faultTableFields))
	for _, x := range v.Quantities {
		l.inOrder(t, t.nodeAt(x.At), fieldKeys(faultQuantityFields))
	}
	for _, x := range v.Faults {
		l.inOrder(t, t.nodeAt(x.At), fieldKeys(faultFields))
	}
	for _, x := range v.Tests {
		l.inOrder(t, t.nodeAt(x.At), fieldKeys(faultTestFields))
	}
	for _, x := range v.Units {
		l.inOrder(t, t.nodeAt(x.At), fieldKeys(faultUnitFields))
	}
	for _, x := range v.Signs {
		l.inOrder(t, t.nodeAt(x.At), fieldKeys(faultSignFields))
	}
	for _, x := range v.Complaints {
		l.inOrder(t, t.nodeAt(x.At), fieldKeys(faultComplaintFields))
	}
	for _, x := range v.Sayings {
		l.inOrder(t, t.nodeAt(x.At), fieldKeys(faultSayingFields))
	}
	for _, x := range v.Figures {
		l.inOrder(t, t.nodeAt(x.At), fieldKeys(tracingFields))
	}
	for _, x := range v.Together {
		l.inOrder(t, t.nodeAt(x.At), fieldKeys(faultPairFields))
	}
	for _, x := range v.Shares {
		l.inOrder(t, t.nodeAt(x.At), fieldKeys(sharesFields))
	}
	for _, x := range v.Fitted {
		l.inOrder(t, t.nodeAt(x.At), fieldKeys(fittedFields))
	}
}
