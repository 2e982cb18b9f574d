package wiring

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gapbook.example/ignition"
)

// Marshal writes a draft as the TOML that [Read] reads. What a value says of
// who says so is not kept.
func Marshal(d Draft) []byte {
	var b bytes.Buffer
	text := func(key, s string) {
		if s != "" {
			fmt.Fprintf(&b, "%s = %s\n", key, quote(s))
		}
	}
	b.WriteString("version = 1\n")
	text("title", d.Title)
	text("note", d.Note)
	if d.Invented {
		b.WriteString("invented = true\n")
	}
	if d.System != ignition.UnknownSystem {
		text("system", d.System.String())
	}
	if d.Ground != ignition.PolarityUnknown {
		text("ground", d.Ground.String())
	}
	if !d.Volts.IsZero() {
		text("volts", d.Volts.String())
	}
	if !d.Temperature.IsZero() {
		text("temperature", d.Temperature.String())
	}
	for _, p := range d.Parts {
		fmt.Fprintf(&b, "\n[parts.%s]\nkind = %s\n", p.Name, quote(string(p.Kind)))
		for _, k := range sortedKeys(p.Words) {
			text(k, p.Words[k])
		}
		for _, k := range sortedKeys(p.Values) {
			text(string(k), p.Values[k].String())
		}
		if len(p.Positions) > 0 {
			fmt.Fprintf(&b, "terminals = [%s]\n\n[parts.%s.positions]\n", quotes(p.Terminals), p.Name)
			for _, pos := range p.Positions {
				var groups []string
				for _, g := range pos.Joins {
					groups = append(groups, strings.Join(g, "+"))
				}
				fmt.Fprintf(&b, "%s = [%s]\n", pos.Name, quotes(groups))
			}
		}
	}
	for _, w := range d.Wires {
		fmt.Fprintf(&b, "\n[wires.%s]\n", w.Name)
		text("from", w.From)
		text("to", w.To)
		if !w.Gauge.IsZero() {
			text("gauge", w.Gauge.String())
		}
		if !w.Length.IsZero() {
			text("length", w.Length.String())
		}
		text("colour", w.Colour)
		if !w.Insulation.IsZero() {
			text("insulation", w.Insulation.String())
		}
		if w.EngineSpace {
			b.WriteString("engine_space = true\n")
		}
		if w.Bundle > 0 {
			fmt.Fprintf(&b, "bundle = %d\n", w.Bundle)
		}
	}
	return b.Bytes()
}

// quote writes a basic string of TOML, whose escapes are nearly those of Go.
func quote(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r < 0x20 || r == 0x7f:
			b.WriteString(`\u` + strings.Repeat("0", 4-len(strconv.FormatInt(int64(r), 16))) + strconv.FormatInt(int64(r), 16))
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

func quotes(list []string) string {
	out := slices.Clone(list)
	for i := range out {
		out[i] = quote(out[i])
	}
	return strings.Join(out, ", ")
}
