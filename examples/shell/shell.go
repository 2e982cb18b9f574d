// Package shell is what the programs under examples share: their flags, where
// their input comes from, how wide the terminal is, and how they end.
package shell

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"gapbook.example/ignition/sheet"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
)

// The exit codes of every program.
const (
	Good  = 0 // nothing wrong
	Fault = 1 // at least one fault
	Bad   = 2 // bad input; all of it on standard error, nothing on standard output
)

// A Program is one program under examples.
type Program struct {
	// Usage is the text of -h: what it does, its forms, one worked line.
	Usage string
	// Args, Stdin, Stdout and Stderr are the program's own.
	Args           []string
	Stdin          io.Reader
	Stdout, Stderr io.Writer
	// JSON and Specs are the values of -json and -specs.
	JSON  bool
	Specs string
	// Flags takes further flags before Parse.
	Flags flag.FlagSet
}

// New returns a program that reads the process's own arguments and streams.
func New(usage string) *Program {
	return &Program{Usage: usage, Args: os.Args[1:], Stdin: os.Stdin, Stdout: os.Stdout, Stderr: os.Stderr}
}

// Main runs a program and ends the process with its exit code. A table of the
// book that was edited into something unreadable ends it like bad input.
func Main(run func(*Program) int, usage string) {
	os.Exit(guarded(run, New(usage)))
}

func guarded(run func(*Program) int, p *Program) (code int) {
	defer func() {
		switch problem := recover().(type) {
		case nil:
		case gate.Problems:
			code = p.Fail(problem)
		default:
			panic(problem)
		}
	}()
	return run(p)
}

// Parse reads the flags. done is true when the program has nothing left to do
// but end with code.
func (p *Program) Parse() (code int, done bool) {
	p.Flags.Init("", flag.ContinueOnError)
	p.Flags.SetOutput(io.Discard)
	p.Flags.BoolVar(&p.JSON, "json", false, "")
	p.Flags.StringVar(&p.Specs, "specs", "", "")
	args, err := p.flags()
	if err == nil {
		// Behind "--" all is taken as it stands; Args then holds what is no flag.
		err = p.Flags.Parse(append([]string{"--"}, args...))
	}
	switch {
	case errors.Is(err, flag.ErrHelp):
		fmt.Fprint(p.Stdout, p.Usage)
		return Good, true
	case err != nil:
		return p.Fail(fmt.Errorf("%w; -h shows how to call this", err)), true
	}
	return Good, false
}

// flags reads the flags, which may stand before and behind what they are for,
// and returns the rest.
func (p *Program) flags() (rest []string, err error) {
	args := p.Args
	for {
		if err := p.Flags.Parse(args); err != nil {
			return nil, err
		}
		left := p.Flags.Args()
		if len(left) == 0 {
			return rest, nil
		}
		if n := len(args) - len(left); n > 0 && args[n-1] == "--" {
			return append(rest, left...), nil
		}
		rest, args = append(rest, left[0]), left[1:]
	}
}

// Book opens the shipped book, with the folder of -specs laid over it.
func (p *Program) Book() (*specs.Book, error) {
	if p.Specs == "" {
		return specs.Builtin(), nil
	}
	return specs.Builtin().OverlayDir(p.Specs)
}

// Input reads the file named, or standard input for "-".
func (p *Program) Input(name string) (src []byte, err error) {
	if name == "-" {
		src, err = io.ReadAll(io.LimitReader(p.Stdin, gate.MaxBytes+1))
		if err != nil {
			return nil, gate.Problems{{File: "standard input", Code: "unreadable", Message: err.Error()}}
		}
		return src, nil
	}
	info, err := os.Stat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		hint := nearFile(name)
		if strings.Contains(name, " ") && strings.ContainsAny(name, "0123456789") {
			hint = "readings without a file need the engine first: -engine ID " + strconv.Quote(name)
		}
		return nil, gate.Problems{{File: name, Code: "missing-file", Message: "there is no file of this name", Hint: hint}}
	case err != nil:
		return nil, gate.Problems{{File: name, Code: "unreadable", Message: "the file cannot be read"}}
	case info.IsDir():
		return nil, gate.Problems{{File: name, Code: "is-folder", Message: "this is a folder, not a file", Hint: "name a file in it"}}
	case !info.Mode().IsRegular():
		return nil, gate.Problems{{File: name, Code: "unreadable", Message: "this is not a plain file"}}
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, gate.Problems{{File: name, Code: "unreadable", Message: "the file cannot be read"}}
	}
	defer f.Close()
	src, err = io.ReadAll(io.LimitReader(f, gate.MaxBytes+1))
	if err != nil {
		return nil, gate.Problems{{File: name, Code: "unreadable", Message: "the file cannot be read"}}
	}
	return src, nil
}

func nearFile(name string) string {
	list, err := os.ReadDir(filepath.Dir(name))
	if err != nil || len(list) > 1000 {
		return ""
	}
	var names []string
	for _, d := range list {
		if strings.HasSuffix(d.Name(), ".toml") {
			names = append(names, d.Name())
		}
	}
	if near, ok := gate.Nearest(filepath.Base(name), names); ok {
		return "did you mean " + strconv.Quote(filepath.Join(filepath.Dir(name), near)) + "?"
	}
	return ""
}

// Fail prints everything wrong on standard error and returns [Bad].
func (p *Program) Fail(err error) int {
	var problems gate.Problems
	if errors.As(err, &problems) {
		for _, one := range problems {
			fmt.Fprintln(p.Stderr, Printable(one.Error()))
		}
		return Bad
	}
	fmt.Fprintln(p.Stderr, Printable(err.Error()))
	return Bad
}

// Printable keeps what a file says from steering the terminal.
func Printable(s string) string {
	return strings.Map(func(r rune) rune {
		if r != '\n' && (r < 0x20 || r >= 0x7f && r <= 0x9f) {
			return '?'
		}
		return r
	}, s)
}

// Style is how text is laid out: COLUMNS wide where that is set, 80 columns
// otherwise, and bold only on a terminal where NO_COLOR is not set.
func (p *Program) Style() sheet.Style {
	s := sheet.Style{Width: 80}
	if n, err := strconv.Atoi(os.Getenv("COLUMNS")); err == nil && n > 0 && n < 80 {
		s.Width = n
	}
	if f, ok := p.Stdout.(*os.File); ok && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb" {
		info, err := f.Stat()
		s.Bold = err == nil && info.Mode()&os.ModeCharDevice != 0
	}
	return s
}
