// Package sheet writes results down: as plain text for a terminal of any
// width, and as JSON for programs. The same result always gives the same
// bytes.
package sheet
