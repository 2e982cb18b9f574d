package gate_test

import (
	"fmt"

	"gapbook.example/specs/gate"
)

func ExampleRead() {
	_, problems := gate.Read("pump.toml", []byte(`
[points_gap.example-manual-1958]
nominal = 0.020 in
basis   = "published"
basis   = "measured"
`))
	for _, p := range problems {
		fmt.Println(p.Code, "on line", p.Line)
	}
	fmt.Println(problems[1])
	// Output:
	// after-value on line 3
	// duplicate-key on line 5
	// pump.toml:5:1: points_gap.example-manual-1958.basis: "points_gap.example-manual-1958.basis" is already a value, set on line 4 (duplicate-key); keep one of the two
}

func ExampleNode_ValueProblem() {
	doc, problems := gate.Read("pump.toml", []byte("[identity]\ncylinders = \"two\"\n"))
	if problems != nil {
		panic(problems)
	}
	n := doc.Root.Child("identity").Child("cylinders")
	fmt.Println(n.ValueProblem(doc.File, "bad-number", `"two" is not a number`, "write 2"))
	// Output:
	// pump.toml:2:13: identity.cylinders: "two" is not a number (bad-number); write 2
}

func ExampleNearest() {
	fmt.Println(gate.Nearest("piont_gap", []string{"plug_gap", "points_gap", "air_gap"}))
	// Output:
	// points_gap true
}
