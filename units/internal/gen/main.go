// Gen writes units/zz_generated.go from the table of package table.
// It is run by go generate ./units.
package main

import (
	"fmt"
	"os"

	"gapbook.example/units/internal/table"
)

func main() {
	src, err := table.Source()
	if err == nil {
		err = os.WriteFile("zz_generated.go", src, 0o644)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "gen:", err)
		os.Exit(1)
	}
}
