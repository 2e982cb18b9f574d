// Package jobs holds the invented jobs that the programs under examples run
// when they are given none. The scenario is made up: the sheds of Withy Bottom,
// a cider farm whose engines carry no maker's name.
package jobs

import "embed"

// Files holds every job, one TOML file each.
//
//go:embed *.toml
var Files embed.FS
