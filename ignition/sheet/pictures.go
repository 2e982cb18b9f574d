package sheet

import (
	"gapbook.example/ignition"
	"gapbook.example/ignition/sheet/picture"
	"gapbook.example/ignition/wiring"
)

// Illustrate puts pictures into the document, behind what was found. Documents are made without, for drawing takes a
// hundred times as long as judging.
func (d *Document) Illustrate(list ...Picture) {
	if len(list) == 0 {
		return
	}
	s := Section{Title: words.pictures}
	for _, p := range list {
		s.Blocks = append(s.Blocks, p)
	}
	at := 0
	if len(d.Sections) > 0 && d.Sections[0].Title == "" {
		at = 1
	}
	d.Sections = append(d.Sections[:at:at], append([]Section{s}, d.Sections[at:]...)...)
}

// drawn takes a drawing over.
func drawn(p picture.Picture) Picture {
	return Picture{Name: p.Name, Title: p.Title, SVG: p.SVG, Words: p.Words}
}

// HarnessPicture draws a harness in one state of it, the current shown and the
// faults of findings marked: for a wide page, and again for a narrow one. The
// error is that of the state.
func HarnessPicture(h *wiring.Harness, state wiring.State, findings []wiring.Finding) (Picture, error) {
	sol, err := h.Solve(state)
	if err != nil {
		return Picture{}, err
	}
	view := picture.View{Name: "wiring", State: &state, Solution: sol, Paper: picture.Landscape}
	for _, f := range findings {
		if f.Severity == ignition.Fault {
			view.Faults = append(view.Faults, picture.Fault{Names: f.Names, Text: f.Text})
		}
	}
	wide := picture.Wiring(h, view)
	out := drawn(wide.Picture)
	out.Title = fill(words.wiringIn, h.Describe(state))
	view.Name, view.Paper = "wiring-narrow", picture.Phone
	out.Narrow = picture.Wiring(h, view).SVG
	return out, nil
}
