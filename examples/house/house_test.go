package house_test

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
)

// root is the folder of the module, two above this package.
var root = func() string {
	dir, err := filepath.Abs(filepath.Join("..", ".."))
	if err != nil {
		panic(err)
	}
	return dir
}()

// built is where programs are built, once for all tests.
var built string

func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "house")
	if err != nil {
		panic(err)
	}
	built = dir
	code := m.Run()
	os.RemoveAll(dir)
	os.Exit(code)
}

// A file is one file of the module with its path in the module, in slashes.
type file struct {
	path string
	data []byte
}

// files returns every file of the module in the order of their paths, without
// what version control keeps and what .gitignore names.
var files = sync.OnceValues(func() ([]file, error) {
	var list []file
	err := fs.WalkDir(os.DirFS(root), ".", func(p string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && d.Name() == ".git":
			return fs.SkipDir
		case d.IsDir() || ignored(d.Name()):
			return nil
		}
		data, err := os.ReadFile(filepath.Join(root, filepath.FromSlash(p)))
		list = append(list, file{p, data})
		return err
	})
	return list, err
})

func ignored(name string) bool {
	for _, pattern := range []string{".git", "*.test", "*.out", "*.prof"} {
		if ok, _ := path.Match(pattern, name); ok {
			return true
		}
	}
	return false
}

func allFiles(t *testing.T) []file {
	t.Helper()
	list, err := files()
	if err != nil {
		t.Fatal(err)
	}
	if len(list) < 500 {
		t.Fatalf("only %d files below %s: is this the module?", len(list), root)
	}
	return list
}

// text returns one file of the module as text.
func text(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(root, filepath.FromSlash(name)))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// result is how a command ended.
type result struct {
	stdout, stderr, both string
	code                 int
}

// command runs a program in a folder with plain output and no settings of the
// caller's that could change it.
func command(t *testing.T, dir, name string, args ...string) result {
	t.Helper()
	cmd := exec.Command(name, args...)
	cmd.Dir = dir
	for _, v := range os.Environ() {
		key, _, _ := strings.Cut(v, "=")
		switch key {
		case "COLUMNS", "GOWORK", "GOFLAGS", "PWD":
		default:
			cmd.Env = append(cmd.Env, v)
		}
	}
	cmd.Env = append(cmd.Env, "GOWORK=off", "PWD="+dir)
	if dir != root {
		// A module made by a test finds everything in the cache that building
		// this one has filled.
		cmd.Env = append(cmd.Env, "GOFLAGS=-mod=mod", "GOPROXY=off")
	}
	var stdout, stderr, both bytes.Buffer
	cmd.Stdout = tee{&stdout, &both}
	cmd.Stderr = tee{&stderr, &both}
	err := cmd.Run()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatalf("%s %v: %v", name, args, err)
	}
	return result{stdout.String(), stderr.String(), both.String(), cmd.ProcessState.ExitCode()}
}

// tee writes to two buffers; the second is shared by both streams of a command.
type tee struct{ one, both *bytes.Buffer }

var teeing sync.Mutex

func (w tee) Write(p []byte) (int, error) {
	teeing.Lock()
	defer teeing.Unlock()
	w.both.Write(p)
	return w.one.Write(p)
}

// goTool runs the go command in the module and returns what it prints.
func goTool(t *testing.T, args ...string) string {
	t.Helper()
	r := command(t, root, "go", args...)
	if r.code != 0 {
		t.Fatalf("go %s:\n%s", strings.Join(args, " "), r.stderr)
	}
	return r.stdout
}

// programs are the names of the folders under examples that hold a program.
func programs(t *testing.T) []string {
	t.Helper()
	mains, err := filepath.Glob(filepath.Join(root, "examples", "*", "main.go"))
	if err != nil || len(mains) < 2 {
		t.Fatalf("%d programs under examples, error %v", len(mains), err)
	}
	var names []string
	for _, m := range mains {
		names = append(names, filepath.Base(filepath.Dir(m)))
	}
	return names
}

// program builds one of the programs under examples, once, and returns its path.
func program(t *testing.T, name string) string {
	t.Helper()
	exe := filepath.Join(built, name)
	if runtime.GOOS == "windows" {
		exe += ".exe"
	}
	if _, err := os.Stat(exe); err != nil {
		goTool(t, "build", "-o", exe, "./examples/"+name)
	}
	return exe
}
