// Package sheet writes results down: a [Document] is made once from any result
// and written as plain text for a terminal of any width, as Markdown, as one
// HTML page that prints, and as JSON for programs, with pictures as SVG. The
// same result always gives the same bytes.
package sheet
