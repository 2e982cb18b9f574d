package picture

// A Place is where a probe can be put. The zero Place is nowhere.
type Place string

// The places. Those of the coil's feed and points side belong to a battery
// set, the kill terminal to a magneto; the rest to both.
const (
	CoilPlus      Place = "coil-plus"
	CoilMinus     Place = "coil-minus"
	CoilTower     Place = "coil-tower"
	KillTerminal  Place = "kill-terminal"
	CoilCore      Place = "coil-core"
	PointsArm     Place = "points-arm"
	PointsPlate   Place = "points-plate"
	CondenserLead Place = "condenser-lead"
	PlugTerminal  Place = "plug-terminal"
	EngineBlock   Place = "engine-block"
)

// ProbePlan says how one reading is taken. The zero ProbePlan shows a battery
// set without probes.
type ProbePlan struct {
	// Title says what is read; empty is a title that says no more than what the
	// drawing is.
	Title string
	// Magneto shows a flywheel magneto in place of a battery set.
	Magneto bool
	// Red and Black are where the meter's leads go; a place that the set does
	// not have is only said in words.
	Red, Black Place
	// Dial is what the meter is set to, such as "volts DC".
	Dial string
	// Text says what a good one reads, or what to mind; it may be empty.
	Text string
}

// words names a place.
func (p Place) words(magneto bool) string {
	switch p {
	case CoilPlus:
		return "coil plus, the feed side"
	case CoilMinus:
		return "coil minus, the points side"
	case CoilTower:
		if magneto {
			return "the end of the plug lead"
		}
		return "the coil's tower"
	case KillTerminal:
		return "the kill terminal"
	case CoilCore:
		return "the coil's iron core"
	case PointsArm:
		return "the points arm"
	case PointsPlate:
		return "the points plate"
	case CondenserLead:
		return "the condenser's lead, unhooked"
	case PlugTerminal:
		return "the plug's terminal"
	case EngineBlock:
		return "bare metal of the engine block"
	}
	return "nowhere"
}

// A spot is where a place is in a drawing, and where its marker stands.
type spot struct{ x, y, mx, my float64 }

// Probes draws coil and points from the side with the places for the meter's
// two leads: R for the red one, filled, and B for the black one, open.
func Probes(name string, p ProbePlan) Picture {
	title := clean(p.Title)
	if title == "" {
		title = "Where the probes go"
	}
	desc := "Coil, points, condenser and plug of a battery set seen from the side."
	if p.Magneto {
		desc = "Flywheel, coil, points, condenser and plug of a magneto seen from the side."
	}
	var c canvas
	top := c.head(title)
	c.raw(`<g transform="translate(0 `)
	c.num(top)
	c.raw(")\">\n")
	var spots map[Place]spot
	if p.Magneto {
		spots = c.magnetoScene()
	} else {
		spots = c.batteryScene()
	}
	words := []string{}
	for _, lead := range [2]struct {
		letter, colour string
		at             Place
	}{{"R", "Red", p.Red}, {"B", "Black", p.Black}} {
		if lead.at == "" {
			continue
		}
		line := lead.colour + " lead (" + lead.letter + ") on " + lead.at.words(p.Magneto)
		s, ok := spots[lead.at]
		if !ok {
			words = append(words, line+", which is not shown.")
			continue
		}
		words = append(words, line+".")
		u := unit(point{s.mx, s.my}, point{s.x, s.y})
		at := point{s.x, s.y}
		near, far := at.along(u, -3), at.along(u, -9)
		c.line("curve", s.mx, s.my, near.x, near.y)
		n := point{-u.y * 3.4, u.x * 3.4}
		var tip canvas
		tip.moves('M', s.x, s.y)
		tip.moves('L', far.x+n.x, far.y+n.y)
		tip.moves('L', far.x-n.x, far.y-n.y)
		tip.b = append(tip.b, 'Z')
		c.path("k", string(tip.b))
		if lead.letter == "R" {
			c.circle("k", s.mx, s.my, 9.5)
			c.text(s.mx, s.my+3.8, atMiddle, "inv", lead.letter)
		} else {
			c.circle("w curve", s.mx, s.my, 9.5)
			c.text(s.mx, s.my+3.6, atMiddle, "pb", lead.letter)
		}
	}
	c.raw("</g>\n")
	if dial := clean(p.Dial); dial != "" {
		words = append(words, "Meter set to "+dial+".")
	}
	if text := clean(p.Text); text != "" {
		words = append(words, text)
	}
	end := c.below(top+236, words)
	return wrapUp(c, name, title, desc, end+10, append([]string{desc}, words...))
}

// plug draws a spark plug standing with its terminal at x, y.
func (c *canvas) plug(x, y float64) {
	c.rect("", x-3, y, 6, 8, 1)
	c.lines("", x-5, y+8, x-7, y+34, x+7, y+34, x+5, y+8, x-5, y+8)
	c.rect("", x-11, y+34, 22, 10, 1)
	c.rect("", x-7, y+44, 14, 20, 0)
	for i := range 4 {
		c.line("", x-7, y+48+float64(i)*4, x+7, y+46+float64(i)*4)
	}
	c.line("", x, y+64, x, y+68)
	c.lines("", x+6, y+64, x+6, y+73, x-2, y+73)
}

// breaker draws points and condenser on their plate; arm is where the arm's
// terminal is.
func (c *canvas) breaker(x, y float64) {
	// Plate, on the block.
	c.rect("", x, y+60, 150, 6, 0)
	c.hatch(x-100, y+66, x+166, y+74, 6)
	c.line("", x-100, y+66, x+166, y+66)
	// Arm on its pivot, insulated.
	c.lines("curve", x+12, y+28, x+112, y+24)
	c.circle("w", x+22, y+27.6, 4)
	c.line("", x+22, y+32, x+22, y+60)
	// Contacts: the arm's below, the plate's above, held by a bracket.
	c.rect("k", x+106, y+18, 8, 5, 0)
	c.rect("k", x+106, y+9, 8, 5, 0)
	c.lines("curve", x+110, y+9, x+110, y+6, x+132, y+6, x+132, y+60)
	// Cam and rubbing block.
	c.circle("", x+62, y-6, 14)
	c.path("", "M"+xy(x+50, y+2)+"L"+xy(x+62, y+13)+"L"+xy(x+74, y+2))
	c.rect("", x+57, y+14, 10, 11.6, 1)
	c.circle("k", x+62, y-6, 2)
}

func xy(x, y float64) string {
	var c canvas
	c.num(x)
	c.b = append(c.b, ' ')
	c.num(y)
	return string(c.b)
}

func (c *canvas) batteryScene() map[Place]spot {
	// Coil.
	c.rect("curve", 40, 74, 52, 104, 6)
	c.line("", 40, 88, 92, 88)
	c.lines("", 58, 74, 60, 52, 72, 52, 74, 74)
	c.rect("", 45, 66, 8, 8, 1)
	c.rect("", 79, 66, 8, 8, 1)
	c.text(66, 130, atMiddle, "n", "coil")
	c.text(34, 84, atEnd, "", "plus")
	c.text(98, 86, atStart, "", "minus")
	// Feed, and lead to the plug.
	c.lines("", 49, 66, 49, 30, 20, 30)
	c.text(8, 20, atStart, "", "from key")
	c.path("ht", "M66 52V22H306V40")
	c.path("hc", "M66 52V22H306V40")
	c.plug(306, 40)
	c.text(290, 76, atEnd, "", "plug")
	// Points.
	c.breaker(170, 140)
	c.path("", "M83 66V58H150V168H182")
	c.text(250, 136, atStart, "", "cam")
	c.text(240, 192, atMiddle, "n", "points")
	// Condenser under the plate's edge, its lead to the arm.
	c.rect("", 104, 186, 40, 18, 6)
	c.lines("", 144, 195, 160, 195, 160, 172, 182, 168)
	c.text(124, 227, atMiddle, "", "condenser")
	c.rect("", 112, 204, 24, 2, 0)
	c.text(336, 227, atEnd, "", "engine block")
	return map[Place]spot{
		CoilPlus:      {48, 66, 22, 50},
		CoilMinus:     {84, 66, 114, 42},
		CoilTower:     {66, 52, 88, 36},
		PointsArm:     {184, 167, 186, 132},
		PointsPlate:   {316, 201, 344, 176},
		CondenserLead: {152, 195, 176, 220},
		PlugTerminal:  {306, 42, 334, 58},
		EngineBlock:   {224, 213, 206, 230},
	}
}

func (c *canvas) magnetoScene() map[Place]spot {
	// Flywheel with its magnet.
	c.circle("curve", 74, 112, 62)
	c.circle("", 74, 112, 9)
	c.rect("k", 118, 84, 12, 16, 1)
	c.rect("k", 118, 122, 12, 16, 1)
	c.text(70, 78, atMiddle, "", "flywheel")
	c.text(112, 98, atEnd, "", "magnet")
	// Core with two legs, and the coil on it.
	c.path("", "M140 84H176V140H140V126H158V98H140Z")
	c.rect("curve", 152, 100, 34, 24, 4)
	c.text(192, 124, atStart, "n", "coil")
	c.text(182, 142, atStart, "", "core")
	// Lead and plug.
	c.path("ht", "M186 106H214V22H306V40")
	c.path("hc", "M186 106H214V22H306V40")
	c.plug(306, 40)
	c.text(290, 76, atEnd, "", "plug")
	// Kill terminal.
	c.lines("", 169, 100, 169, 56, 150, 56)
	c.circle("w", 147, 56, 3)
	c.text(140, 46, atEnd, "", "kill terminal")
	// Points and condenser.
	c.breaker(170, 140)
	c.path("", "M169 124V168H182")
	c.text(250, 136, atStart, "", "cam")
	c.text(240, 192, atMiddle, "n", "points")
	c.rect("", 84, 186, 40, 18, 6)
	c.lines("", 124, 195, 150, 195, 150, 176, 182, 168)
	c.rect("", 92, 204, 24, 2, 0)
	c.text(104, 227, atMiddle, "", "condenser")
	c.text(336, 227, atEnd, "", "engine block")
	return map[Place]spot{
		KillTerminal:  {148, 56, 168, 32},
		CoilTower:     {306, 42, 334, 58},
		CoilCore:      {176, 88, 196, 70},
		PointsArm:     {184, 167, 204, 157},
		PointsPlate:   {316, 201, 344, 176},
		CondenserLead: {138, 195, 158, 222},
		PlugTerminal:  {306, 42, 334, 58},
		EngineBlock:   {224, 213, 206, 230},
	}
}
