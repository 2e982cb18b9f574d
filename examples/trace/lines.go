package main

import (
	"bufio"
	"io"
	"os"
	"os/signal"
	"path/filepath"
)

// lines reads what a person types, one line when it is wanted, and ends where
// the person breaks off with an interrupt: what was said so far is then still
// to be kept.
type lines struct {
	want        chan struct{}
	got         chan string
	interrupted chan os.Signal
	over        bool // nothing comes any more
}

func newLines(in io.Reader) *lines {
	l := &lines{want: make(chan struct{}), got: make(chan string), interrupted: make(chan os.Signal, 1)}
	signal.Notify(l.interrupted, os.Interrupt)
	go func() {
		defer close(l.got)
		typed := bufio.NewScanner(in)
		for range l.want {
			if !typed.Scan() {
				return
			}
			l.got <- typed.Text()
		}
	}()
	return l
}

// next is the next line; ok is false where there is none.
func (l *lines) next() (line string, ok bool) {
	if l.over {
		return "", false
	}
	defer func() { l.over = !ok }()
	select {
	case l.want <- struct{}{}:
	case <-l.interrupted:
		return "", false
	}
	select {
	case line, ok = <-l.got:
		return line, ok
	case <-l.interrupted:
		return "", false
	}
}

// replace writes a file so that it holds either what it held or all of what is
// new, whenever the program ends.
func replace(name string, text []byte) error {
	if real, err := filepath.EvalSymlinks(name); err == nil {
		name = real // a link goes on leading there
	}
	f, err := os.CreateTemp(filepath.Dir(name), filepath.Base(name)+"-*")
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	if e := f.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = os.Chmod(f.Name(), 0o644)
	}
	if err == nil {
		err = os.Rename(f.Name(), name)
	}
	if err != nil {
		os.Remove(f.Name())
	}
	return err
}
