// Gen writes units/zz_generated.go and its test from the table of package
// table. It is run by go generate ./units.
package main

import (
	"fmt"
	"os"

	"gapbook.example/units/internal/table"
)

func main() {
	for name, source := range map[string]func() ([]byte, error){
		"zz_generated.go":      table.Source,
		"zz_generated_test.go": table.TestSource,
	} {
		src, err := source()
		if err == nil {
			err = os.WriteFile(name, src, 0o644)
		}
		if err != nil {
			fmt.Fprintln(os.Stderr, "gen:", err)
			os.Exit(1)
		}
	}
}
