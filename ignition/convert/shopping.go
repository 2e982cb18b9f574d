package convert

// An Item is one line of a shopping list.
type Item struct {
	// What is the part, Ask the words to say at a counter, Enough what is enough
	// where the exact part is not known, Test how to prove it before it is
	// fitted.
	What, Ask, Enough, Test string
	// Count is how many.
	Count int
}

// Shopping lists the parts of a set that have to be bought, in the order of the
// set, with the fuse and the feed wire at the end.
func Shopping(s *Set) []Item { return nil }
