// Command wiring checks the circuit of an ignition before the power goes on.
package main

import (
	_ "embed"
	"fmt"
	"os"
	"slices"
	"strings"

	"gapbook.example/examples/shell"
	"gapbook.example/ignition"
	"gapbook.example/ignition/sheet"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

const usage = `wiring: will this harness spark in run and in start, and stop in off?

  wiring                          an invented rewire, to see what it looks like
  wiring HARNESS.toml [READING...]
                                  a harness file; - reads standard input.
                                  Readings taken on the real harness, each in
                                  quotes: "coil.plus 6.2 V" (black lead on the
                                  block), "battery.plus to coil.plus 0.1 V",
                                  "coil 3.3 A"
  wiring -layout FACTS            a sound harness to start from, as a file

  -key NAME    position of the key for the table of readings (default run)
  -engine HOW  still, cranking or running (default still)
  -open        with the points open
  -unsafe LIST safety switches in their unsafe state, with commas
  -pressed LIST buttons that are pressed, with commas
  -meter TEXT  accuracy of your meter, such as "0.8 % + 3"
  -json        the answer as JSON, every state in it
  -specs DIR   your own tables, laid over the book

For example:

  go run ./examples/wiring examples/wiring/pressing-floor.toml "coil.plus 0 V"

FACTS are a kind of ignition and words such as starter, charging, ballast,
bypass, seat, drive, pto, twin, positive, 6V, stop-button, battery-fed:

  go run ./examples/wiring -layout "battery-points starter charging seat"

Ends with 0 where no fault was found, 1 with a fault, 2 on bad input.
The default ends with 1: that harness cannot serve. The file beside this
program, pressing-floor.toml, shows how a harness is written.
`

const defaultName = "examples/wiring/pressing-floor.toml"

//go:embed pressing-floor.toml
var pressingFloor []byte

func main() { os.Exit(run(shell.New(usage))) }

func run(p *shell.Program) int {
	key := p.Flags.String("key", "", "")
	engine := p.Flags.String("engine", "still", "")
	open := p.Flags.Bool("open", false, "")
	unsafe := p.Flags.String("unsafe", "", "")
	pressed := p.Flags.String("pressed", "", "")
	accuracy := p.Flags.String("meter", "", "")
	facts := p.Flags.String("layout", "", "")
	if code, done := p.Parse(); done {
		return code
	}
	book, err := p.Book()
	if err != nil {
		return p.Fail(err)
	}
	args := p.Flags.Args()
	var h *wiring.Harness
	switch {
	case *facts != "":
		if len(args) > 0 {
			return p.Fail(fmt.Errorf("-layout takes its facts in one text in quotes, and no file: %q", args[0]))
		}
		d, err := layout(book, *facts)
		if err != nil {
			return p.Fail(err)
		}
		if !p.JSON {
			p.Stdout.Write(wiring.Marshal(d))
			return shell.Good
		}
		h, err = wiring.Build(book, d)
		if err != nil {
			return p.Fail(err)
		}
	case len(args) == 0:
		h, err = wiring.Read(book, defaultName, pressingFloor)
	default:
		var src []byte
		if src, err = p.Input(args[0]); err == nil {
			h, err = wiring.Read(book, args[0], src)
		}
		args = args[1:]
	}
	if err != nil {
		return p.Fail(err)
	}
	state, err := asked(h, *key, *engine, *open, *unsafe, *pressed)
	if err != nil {
		return p.Fail(err)
	}
	var taken []wiring.Taken
	for _, a := range args {
		t, err := h.ParseTaken(a)
		if err != nil {
			return p.Fail(err)
		}
		taken = append(taken, t)
	}
	solved, err := h.SolveAll()
	if err != nil {
		return p.Fail(err)
	}
	out := sheet.Harness{Book: book, Harness: h, Solved: solved, Report: wiring.CheckSolved(book, solved), State: state}
	if out.Readings, err = wiring.JudgeTaken(book, h, state, *accuracy, taken); err != nil {
		return p.Fail(err)
	}
	if p.JSON {
		data, err := sheet.WiringJSON(out)
		if err != nil {
			return p.Fail(err)
		}
		p.Stdout.Write(data)
	} else {
		text, err := sheet.Wiring(out, p.Style())
		if err != nil {
			return p.Fail(err)
		}
		fmt.Fprint(p.Stdout, text)
	}
	if out.Verdict() == ignition.Unfit {
		return shell.Fault
	}
	return shell.Good
}

// asked makes the state that the flags ask for.
func asked(h *wiring.Harness, key, engine string, open bool, unsafe, pressed string) (wiring.State, error) {
	s := h.UsualState()
	if key != "" {
		s.Key = key
	}
	switch engine {
	case "still":
	case "cranking":
		s.Engine = wiring.Cranks
	case "running":
		s.Engine = wiring.Runs
	default:
		return s, fmt.Errorf("-engine is still, cranking or running, not %q", engine)
	}
	if open {
		s.Open = h.AllOpen()
	}
	bits := func(flag, list string, known []string) (uint32, error) {
		var out uint32
		for name := range strings.SplitSeq(list, ",") {
			if name = strings.TrimSpace(name); name == "" {
				continue
			}
			i := slices.Index(known, name)
			if i < 0 {
				return 0, fmt.Errorf("-%s: the harness has no %q; it has: %s", flag, name, strings.Join(known, ", "))
			}
			out |= 1 << i
		}
		return out, nil
	}
	var err error
	if s.Unsafe, err = bits("unsafe", unsafe, h.Interlocks()); err != nil {
		return s, err
	}
	if s.Pressed, err = bits("pressed", pressed, h.Buttons()); err != nil {
		return s, err
	}
	_, err = h.Solve(s)
	return s, err
}

// layout reads the facts of -layout.
func layout(book *specs.Book, text string) (wiring.Draft, error) {
	var f wiring.Facts
	for _, w := range strings.Fields(text) {
		switch w {
		case "starter":
			f.Starter = true
		case "charging":
			f.Charging = wiring.Alternator
		case "generator":
			f.Charging = wiring.Generator
		case "ballast":
			f.Ballast = wiring.Ballasted
		case "bypass":
			f.Ballast = wiring.Bypassed
		case "seat", "drive", "pto":
			f.Interlocks = append(f.Interlocks, w)
		case "twin":
			f.Twin = true
		case "positive":
			f.Ground = ignition.PositiveGround
		case "stop-button":
			f.StopButton = true
		case "battery-fed":
			f.BatteryFed = true
		default:
			if slices.Contains(book.SwitchTables(), w) {
				f.Switch = w
				continue
			}
			if system, err := ignition.ParseSystem(w); err == nil {
				f.System = system
				continue
			}
			if v, err := parseVolts(w); err == nil {
				f.Volts = v
				continue
			}
			return wiring.Draft{}, fmt.Errorf("-layout does not know %q; -h lists the words, and a key switch may be named: %s", w, strings.Join(book.SwitchTables(), ", "))
		}
	}
	return wiring.LayoutDraft(book, f)
}

// parseVolts reads volts, with or without a space before the unit.
func parseVolts(s string) (units.Voltage, error) { return units.ParseVoltage(s) }
