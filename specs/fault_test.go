package specs

import (
	"strings"
	"testing"
)

// TestFaultsGathered holds what any tracer relies on.
func TestFaultsGathered(t *testing.T) {
	all := Builtin().Faults()
	if len(all.Faults) < 89 || len(all.Tests) < 69 {
		t.Fatalf("%d faults and %d tests; 89 and 69 were staged", len(all.Faults), len(all.Tests))
	}
	for _, system := range faultSystems {
		faults, fuel, compression, controls := 0, false, false, false
		for i := range all.Faults {
			f := &all.Faults[i]
			if f.Prior(system) > 0 {
				faults++
				fuel = fuel || f.Part == "fuel"
				compression = compression || f.ID == "compression-low"
				controls = controls || f.Part == "operator"
			}
		}
		tests := 0
		for _, x := range all.Tests {
			for _, k := range x.Kinds {
				if k == system {
					tests++
				}
			}
		}
		if faults < 20 || tests < 15 || !fuel || !compression || !controls {
			t.Errorf("%s: %d faults, %d tests, fuel %t, compression %t, controls %t", system, faults, tests, fuel, compression, controls)
		}
	}
}

func TestFaultTableProblems(t *testing.T) {
	const head = "schema = 1\nid = \"x\"\nlabel = \"x\"\n"
	const fault = "[fault.a]\npart = \"p\"\ndoes = \"d\"\nnature = \"open\"\nmanner = \"dead\"\nprior_basis = \"assumed\"\ncure = \"c\"\ncure_minutes = \"1 min\"\ncure_price = \"0 min\"\nbasis = \"assumed\"\n"
	for _, c := range []struct{ name, src, want string }{
		{"a number in quotes", head + fault + `prior = { trembler = "3" }`, "bare number"},
		{"a system that there is not", head + fault + `prior = { tremblr = 3 }`, `did you mean "trembler"`},
		{"a negative weight", head + fault + `prior = { trembler = -3 }`, "is not between 0"},
		{"not a number", head + fault + `prior = { trembler = nan }`, "is not between 0"},
		{"no system", head + fault, "names no kind of system"},
		{"a published fault without its source", head + strings.Replace(fault, `basis = "assumed"`+"\n", `basis = "published"`+"\n", 2) + "prior = { trembler = 3 }", ""},
		{"chances that do not add up", head + "[complaint.dead]\nbasis = \"assumed\"\nchances = { a = 0.5, b = 0.4 }", "add up to 0.9"},
		{"edges that fall", head + "[quantity.q]\ntitle = \"q\"\nkind = \"length\"\ngood = \"g\"\nbasis = \"assumed\"\nedges = [1, 0.5]", "do not rise"},
		{"one answer", head + "[test.t]\ntitle = \"t\"\nhow = \"h\"\ngood = \"g\"\nminutes = \"1 min\"\nminutes_basis = \"assumed\"\nkinds = [\"trembler\"]\nbasis = \"assumed\"\nanswers = { a = \"b\" }", "at least two answers"},
		{"nothing to answer", head + "[test.t]\ntitle = \"t\"\nhow = \"h\"\ngood = \"g\"\nminutes = \"1 min\"\nminutes_basis = \"assumed\"\nkinds = [\"trembler\"]\nbasis = \"assumed\"", "neither answers nor a quantity"},
		{"one fault twice", head + "[together.a]\nfactor = 2\nbasis = \"assumed\"\nfaults = [\"a\", \"a\"]", "two different faults"},
	} {
		_, problems := DecodeFaults("x.toml", []byte(c.src))
		if problems == nil {
			t.Errorf("%s: no problem", c.name)
			continue
		}
		if !strings.Contains(problems.Error(), c.want) {
			t.Errorf("%s: %v; want %q in it", c.name, problems, c.want)
		}
	}
}

// FuzzFaults reads any text as a fault table: it is refused or read, and never
// more than that.
func FuzzFaults(f *testing.F) {
	f.Add("schema = 1\nid = \"x\"\nlabel = \"x\"\n[fault.a]\npart = \"p\"\nprior = { trembler = 1 }\nchanges = { q = { times = 0.5 } }\n")
	f.Add("schema = 1\nid = \"x\"\nlabel = \"x\"\n[quantity.q]\nkind = \"length\"\nedges = [1, 2]\nusual = { trembler = \"3 mm\" }\n")
	f.Add("schema = 1\nid = \"x\"\nlabel = \"x\"\n[sign.t.a]\nfaults = [\"b\"]\nchances = { c = 1 }\n[fitted.l]\nanswers = { a = \"b\", c = \"d\" }\nchances = { x = { a = 1 } }\n")
	f.Fuzz(func(t *testing.T, src string) {
		table, problems := DecodeFaults("x.toml", []byte(src))
		if (table == nil) == (problems == nil) {
			t.Fatalf("%v and %v", table, problems)
		}
	})
}
