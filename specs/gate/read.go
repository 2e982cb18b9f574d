package gate

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
)

// Read reads a document from memory. The file name is for messages only. It
// returns either a document or at least one problem, sorted by place; never
// both, never neither. An empty document is legal: its root has no children.
//
// Read does not keep src.
func Read(file string, src []byte) (*Doc, Problems) {
	if len(src) > MaxBytes {
		return nil, Problems{tooBig(file, fmt.Sprintf("%d", len(src)))}
	}
	text := string(src)
	if strings.Contains(text, "\r\n") {
		text = strings.ReplaceAll(text, "\r\n", "\n")
	}

	out := &collector{file: file, at: newCursor(text)}
	if !checkRunes(out, text) {
		return nil, out.sorted()
	}
	runeProblems := len(out.list)

	s := newScanner(text, out)
	s.statements()
	out.dropEchoes(runeProblems)
	if len(out.list) > 0 {
		return nil, out.sorted()
	}

	if !decode(s, out) {
		return nil, out.sorted()
	}
	setPaths(s.root)
	return &Doc{File: file, Root: s.root, Schema: schemaLine(text)}, nil
}

// ReadFile reads a document from a file system. A missing file, a folder, a
// file that cannot be read or is too big are problems like any other.
func ReadFile(fsys fs.FS, name string) (*Doc, Problems) {
	f, err := fsys.Open(name)
	if err != nil {
		return nil, Problems{fileProblem(name, err)}
	}
	defer f.Close()
	return ReadReader(name, f)
}

// ReadPath reads a document from a path of the operating system, as typed on a
// command line. In all else it is ReadFile.
func ReadPath(path string) (*Doc, Problems) {
	f, err := os.Open(path)
	if err != nil {
		return nil, Problems{fileProblem(path, err)}
	}
	defer f.Close()
	return ReadReader(path, f)
}

// ReadReader reads a document from a reader, such as standard input. The name
// is for messages only. It reads no more than MaxBytes and one byte, however
// much there is.
func ReadReader(name string, r io.Reader) (*Doc, Problems) {
	size := 0
	if f, ok := r.(interface{ Stat() (fs.FileInfo, error) }); ok {
		if info, err := f.Stat(); err == nil {
			if info.IsDir() {
				return nil, Problems{folder(name)}
			}
			if info.Mode().IsRegular() {
				if info.Size() > MaxBytes {
					return nil, Problems{tooBig(name, fmt.Sprintf("%d", info.Size()))}
				}
				size = int(info.Size())
			}
		}
	}
	var src bytes.Buffer
	src.Grow(size + bytes.MinRead)
	if _, err := src.ReadFrom(io.LimitReader(r, MaxBytes+1)); err != nil {
		return nil, Problems{fileProblem(name, err)}
	}
	if src.Len() > MaxBytes {
		return nil, Problems{tooBig(name, fmt.Sprintf("more than %d", MaxBytes))}
	}
	return Read(name, src.Bytes())
}

func tooBig(file, size string) Problem {
	return Problem{
		File: file, Code: CodeTooBig,
		Message: fmt.Sprintf("the file has %s bytes; the limit is %d (%d KiB)", size, MaxBytes, MaxBytes>>10),
		Hint:    "is it the right file?",
	}
}

func folder(file string) Problem {
	return Problem{File: file, Code: CodeFolder, Message: "this is a folder, not a file", Hint: "name a file in it"}
}

// fileProblem says what an error of the file system means.
func fileProblem(file string, err error) Problem {
	p := Problem{File: file, Code: CodeUnreadable}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		p.Code, p.Message, p.Hint = CodeNoFile, "there is no such file", "check the name and the folder"
	case errors.Is(err, fs.ErrInvalid):
		p.Code, p.Message, p.Hint = CodeBadName, "this cannot be the name of a file here", `names are relative, without . and .. and with / between folders`
	case errors.Is(err, fs.ErrPermission):
		p.Message, p.Hint = "the file may not be read: permission denied", "check its owner and rights"
	default:
		// The path in a PathError would only repeat the file's name.
		var pe *fs.PathError
		if errors.As(err, &pe) {
			err = pe.Err
		}
		p.Message = "the file cannot be read: " + err.Error()
	}
	return p
}

// schemaLine returns what a "#:schema" comment in the first line names.
func schemaLine(text string) string {
	line, _, _ := strings.Cut(text, "\n")
	if rest, ok := strings.CutPrefix(line, "#:schema"); ok && strings.TrimLeft(rest, " \t") != rest {
		return strings.Trim(rest, " \t")
	}
	return ""
}

// dropEchoes removes the scanner's problems, those from index n on, that stand
// at a character which is already a problem: they say the same again.
func (c *collector) dropEchoes(n int) {
	type place struct{ line, col int }
	bad := make(map[place]bool, n)
	for _, p := range c.list[:n] {
		bad[place{p.Line, p.Col}] = true
	}
	kept := c.list[:n]
	for _, p := range c.list[n:] {
		if !bad[place{p.Line, p.Col}] {
			kept = append(kept, p)
		}
	}
	c.list = kept
}
