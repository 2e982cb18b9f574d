package picture

// A Picture is a drawing and the words that say the same. The zero Picture is
// empty.
type Picture struct {
	// Name is a short slug: lower-case letters, digits and dashes. It makes the
	// ids inside the drawing, so it must be unique in a page.
	Name string
	// Title says what it shows.
	Title string
	// SVG is the drawing: one svg element.
	SVG []byte
	// Words carry the same facts as the drawing, a line each.
	Words []string
}
