package specs

import (
	"embed"
	"sync"
)

//go:generate env GAPBOOK_UPDATE=1 go test -count=1 -run Fresh .

// files holds the shipped tables. Nothing but Builtin refers to it, so a
// program that never calls Builtin does not carry them.
//
//go:embed bounds/*.toml cautions/*.toml conversions/*.toml engines/*.toml exceptions/*.toml faults/*.toml frozen/gone.toml frozen/settled.txt limits/*.toml parts/*.toml sources/*.toml switches/*.toml wires/*.toml
var files embed.FS

var (
	builtinOnce sync.Once
	builtin     *Book
)

// Builtin returns the book that ships with this module. Opening it reads no
// table: the index is part of the program, and each table is read when it is
// first asked for.
func Builtin() *Book {
	builtinOnce.Do(func() {
		builtin = &Book{
			layers: []layer{{fsys: files, prefix: "specs/", has: func(p string) bool {
				f, err := files.Open(p)
				if err != nil {
					return false
				}
				f.Close()
				return true
			}, figures: indexFigures}},
			version: Version, digest: indexDigest,
			entries: indexEntries, cautions: indexCautions,
			sources: indexSources, limits: indexLimits, meters: indexMeters,
			switches: indexSwitches, parts: indexParts, wires: indexWires, exceptions: indexExceptions, bounds: indexBounds, faults: indexFaults, conversions: indexConversions, finishes: indexFinishes,
			aliases: indexAliases, usual: indexUsual,
		}
	})
	return builtin
}
