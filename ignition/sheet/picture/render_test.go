package picture

import (
	"os"
	"strings"
	"testing"

	"gapbook.example/ignition/wiring"
)

func TestRender(t *testing.T) {
	dir := os.Getenv("GAPBOOK_PICTURES")
	if dir == "" {
		t.Skip("set GAPBOOK_PICTURES to a folder")
	}
	for _, c := range layouts(t) {
		if c.name != os.Getenv("ONLY") && os.Getenv("ONLY") != "" && os.Getenv("ONLY") != "all" {
			continue
		}
		for _, paper := range []Paper{Phone, Landscape} {
			st := c.h.UsualState()
			if st.Key == "" && len(c.h.Keys()) > 1 {
				st.Key = c.h.Keys()[1]
			}
			sol, err := c.h.Solve(st)
			if err != nil {
				t.Fatal(err)
			}
			v := View{Paper: paper, State: &st, Solution: sol, Name: "x"}
			d := Wiring(c.h, v)
			n := strings.ReplaceAll(c.name, " ", "-")
			if paper == Landscape {
				n += "-a4"
			}
			if err := os.WriteFile(dir+"/"+n+".svg", d.SVG, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	_ = wiring.Battery
}
