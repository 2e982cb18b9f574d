package specs

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"
)

// TestPublishedPlugs holds the rules about plugs to published tables: threads
// and reaches as a summary of ISO 28741 gives them (the standard itself was not
// read), torques as a plug maker's installation chart prints them in foot
// pounds. Each published row passes; ten times and a tenth of it do not, and a
// thread between two sizes does not.
func TestPublishedPlugs(t *testing.T) {
	shipped := fstest.MapFS{}
	for name, text := range bookTexts(t) {
		if !strings.HasPrefix(name, "engines/") {
			shipped[name] = &fstest.MapFile{Data: []byte(text)}
		}
	}
	book := mustLoad(t, shipped) // no engine: siblings are not what is tried
	lint := func(body string) (codes []string) {
		b, err := book.Overlay(fstest.MapFS{"engines/fixture.toml": {Data: []byte("#:schema ../schema/engine.json\nschema = 1\nid = \"fixture\"\n\n[identity]\nlabel = \"invented\"\nsystem = \"unknown\"\n" + body)}})
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range b.LintFiles("engines/fixture.toml") {
			codes = append(codes, p.Code)
		}
		return codes
	}
	claim := func(quantity, value string) string {
		return fmt.Sprintf("\n[%s.parts-plug-chart]\nnominal = %q\nplace = \"chart\"\nas_printed = %q\nbasis = \"published\"\nstatus = \"single-source\"\n", quantity, value, value)
	}
	want := func(what, body string, codes ...string) {
		t.Helper()
		have := lint(body)
		switch {
		case len(codes) == 0 && len(have) > 0:
			t.Errorf("%s is refused by %v", what, have)
		case len(codes) > 0 && len(have) == 0:
			t.Errorf("%s is let pass", what)
		}
		for _, c := range have {
			if len(codes) > 0 && !strings.Contains(strings.Join(codes, " "), c) {
				t.Errorf("%s is refused by %s, not by one of %v", what, c, codes)
			}
		}
	}
	for _, size := range []string{"8 mm", "10 mm", "12 mm", "14 mm", "18 mm"} {
		want("the thread of "+size, claim("plug_thread", size))
	}
	for _, size := range []string{"11 mm", "13 mm", "16 mm", "140 mm", "1.4 mm"} {
		want("a thread of "+size, claim("plug_thread", size), "plug-thread", "plausible")
	}
	for _, reach := range []string{"9.5 mm", "12.7 mm", "19.0 mm", "26.5 mm"} {
		want("the reach of "+reach, claim("plug_reach", reach))
	}
	for _, reach := range []string{"95 mm", "1.27 mm", "190 mm"} {
		want("a reach of "+reach, claim("plug_reach", reach), "plausible")
	}
	for _, row := range []struct {
		thread string
		torque []float64 // lb-ft: ends of gasket and taper, iron and aluminium
	}{
		{"18 mm", []float64{25.3, 32.5, 14.5, 21.6}},
		{"14 mm", []float64{18.0, 25.3, 21.6, 10.8, 7.2, 14.5}},
		{"12 mm", []float64{10.8, 18.0, 14.5}},
		{"10 mm", []float64{7.2, 10.8, 8.7}},
		{"8 mm", []float64{5.8, 7.2}},
	} {
		for _, x := range row.torque {
			thread := claim("plug_thread", row.thread)
			want(fmt.Sprintf("%.1f lb-ft on %s", x, row.thread), thread+claim("plug_torque", fmt.Sprintf("%.1f lb-ft", x)))
			want(fmt.Sprintf("%.1f lb-ft on %s", 10*x, row.thread), thread+claim("plug_torque", fmt.Sprintf("%.1f lb-ft", 10*x)), "plausible", "plug-torque", "siblings")
			want(fmt.Sprintf("%.2f lb-ft on %s", x/10, row.thread), thread+claim("plug_torque", fmt.Sprintf("%.2f lb-ft", x/10)), "plausible", "plug-torque", "siblings")
		}
	}
	// The torque of a large thread strips a small one, and is no slip of
	// anything else.
	want("the torque of 18 mm on 10 mm", claim("plug_thread", "10 mm")+claim("plug_torque", "32.5 lb-ft"), "plug-torque")
}
