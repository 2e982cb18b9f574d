package gate

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// cursor turns byte offsets into lines and columns. It goes forward with the
// offsets it is asked for, so that asking in order costs one pass in all.
type cursor struct {
	text           string
	off, line, col int
}

func newCursor(text string) cursor { return cursor{text: text, line: 1, col: 1} }

// place returns line and column of the character at the offset, both from 1,
// the column in characters.
func (c *cursor) place(off int) (line, col int) {
	if off < c.off {
		c.off, c.line, c.col = 0, 1, 1
	}
	for c.off < off && c.off < len(c.text) {
		switch b := c.text[c.off]; {
		case b == '\n':
			c.off++
			c.line++
			c.col = 1
		case b < utf8.RuneSelf:
			c.off++
			c.col++
		default:
			_, size := utf8.DecodeRuneInString(c.text[c.off:])
			c.off += size
			c.col++
		}
	}
	return c.line, c.col
}

// checkRunes reports every character that may not stand in a document, be it
// in a comment, in a string or between them. It returns false if the text is
// not even in UTF-8, so that there is no use in reading on.
func checkRunes(ps *collector, text string) bool {
	start := 0
	if b := byteOrderMark(text); b != "" {
		if b == utf8BOM {
			ps.add(0, "", CodeBOM, "the file starts with a byte order mark (U+FEFF)", "save it as UTF-8 without BOM")
			start = len(b)
		} else {
			ps.add(0, "", CodeBOM, "the file is UTF-16 text", "save it as UTF-8 without BOM")
			return false // every other byte would be a problem of its own
		}
	}
	for i := start; i < len(text) && !ps.full(); {
		b := text[i]
		if b >= ' ' && b < 0x7F || b == '\n' || b == '\t' {
			i++
			continue
		}
		r, size := utf8.DecodeRuneInString(text[i:])
		if r == utf8.RuneError && size == 1 {
			ps.add(i, "", CodeNotUTF8, fmt.Sprintf("byte 0x%02X is not UTF-8 text", b), "save the file as UTF-8")
		} else if code := runeCode(r); code != "" {
			hint := "remove it"
			if r == '\r' {
				hint = "end lines with LF, or with CR LF"
			}
			ps.add(i, "", code, runeMessage(code, r), hint)
		}
		i += size
	}
	return true
}

const utf8BOM = "\uFEFF"

func byteOrderMark(text string) string {
	for _, mark := range []string{utf8BOM, "\xFF\xFE", "\xFE\xFF"} {
		if strings.HasPrefix(text, mark) {
			return mark
		}
	}
	return ""
}

// hidden are the characters that a reader cannot see, or cannot tell from
// nothing: format characters, separators that are not spaces, private use, and
// the letters and marks that Unicode lets a program leave out of the picture.
var hidden = []*unicode.RangeTable{
	unicode.Cf, unicode.Zl, unicode.Zp, unicode.Co,
	unicode.Other_Default_Ignorable_Code_Point,
	unicode.Variation_Selector,
	unicode.Noncharacter_Code_Point,
}

// runeCode returns the code of the problem with a character, or "" if it may
// stand in a document. The escapes in strings go by the same rule.
func runeCode(r rune) string {
	switch {
	case r == '\n' || r == '\t' || r >= ' ' && r < 0x7F || r > 0xAD && r < 0x300:
		return "" // the usual letters, and ° µ ½ × among them
	case r == 0:
		return CodeNUL
	case unicode.Is(unicode.Cc, r):
		return CodeControl
	case unicode.Is(unicode.Bidi_Control, r):
		return CodeBidi
	case unicode.In(r, hidden...):
		return CodeHidden
	}
	return ""
}

// runeMessage says in words what is wrong with a character that runeCode
// refused. The character itself never gets into the message.
func runeMessage(code string, r rune) string {
	switch code {
	case CodeNUL:
		return "NUL character (U+0000): this is not a text file, or it is damaged"
	case CodeBidi:
		return fmt.Sprintf("character U+%04X changes the reading direction, so the text would not say what it shows", r)
	case CodeHidden:
		return fmt.Sprintf("invisible character U+%04X", r)
	}
	if r == '\r' {
		return "carriage return (U+000D) without a line feed behind it"
	}
	return fmt.Sprintf("control character U+%04X", r)
}

// collector gathers the problems of one document.
type collector struct {
	file string
	at   cursor
	list Problems
	more bool
}

// full reports whether no more problems are wanted.
func (c *collector) full() bool { return c.more }

// add notes a problem at a byte offset, up to the cap.
func (c *collector) add(off int, key, code, message, hint string) {
	if len(c.list) >= MaxProblems {
		c.more = true
		return
	}
	line, col := c.at.place(off)
	c.list = append(c.list, Problem{
		File: c.file, Line: line, Col: col, Key: key, Code: code, Message: message, Hint: hint,
	})
}

// sorted returns the problems by place, with a last word if some were left out.
func (c *collector) sorted() Problems {
	c.list.Sort()
	if c.more {
		last := c.list[len(c.list)-1]
		c.list = append(c.list, Problem{
			File: c.file, Line: last.Line, Col: last.Col, Code: CodeMore,
			Message: fmt.Sprintf("there are more than %d problems; the rest is not listed", MaxProblems),
			Hint:    "put these right first",
		})
	}
	return c.list
}

// quote returns a piece of the document for a message: in quotes, nothing
// invisible left in it, cut when long.
func quote(s string) string {
	const most = 40
	n := 0
	for i := range s {
		if n == most {
			return fmt.Sprintf("%q...", s[:i])
		}
		n++
	}
	return fmt.Sprintf("%q", s)
}
