package spark

import "math"

// Constants of the circuit that no part carries. Each is an assumption that
// the package's page lists.
const (
	// openOhms is the insulation of open points and coil terminal.
	openOhms = 1e9
	// cutOhms stands across a capacitor-discharge coil while its thyristor is
	// off.
	cutOhms = 1e6
	// leastContactOhms keeps a perfect contact from shorting a perfect
	// condenser in no time at all.
	leastContactOhms = 1e-4
	// leastCondenserFarads is the stray capacitance left across the points
	// when the condenser is open.
	leastCondenserFarads = 100e-12
	// leastPlugFarads is the least capacitance of any plug and lead.
	leastPlugFarads = 1e-12
	// leastBurningOhms keeps the burning gap a resistor.
	leastBurningOhms = 0.01
	// mergeOhms is the lead resistance below which tower and plug are one
	// node: the two differ by less than 1 part in 10,000 there, and a node
	// between them would lose digits.
	mergeOhms = 0.1
	// mostCoupling keeps the leakage inductance above nought.
	mostCoupling = 1 - 1e-9
	// mostClosedSeconds caps the closed time.
	mostClosedSeconds = 40e-3
	// mostOpenSeconds is how long a spark is followed at most.
	mostOpenSeconds = 5e-3
)

// maxStates is the number of states of the largest circuit: primary,
// secondary and shorted-turn currents, condenser, tower and plug voltages.
const maxStates = 6

type (
	vector [maxStates]float64
	matrix [maxStates][maxStates]float64
)

// circuit is [Parts] as bare numbers with the documented clamps applied, and
// what follows from them once for all phases. Conductances stand for those
// resistances that may be infinite.
type circuit struct {
	batteryVolts, loopOhms float64

	primaryHenries, turns, coupling float64
	secondaryOhms, coreSiemens      float64
	towerFarads, plugFarads         float64
	leadOhms, shuntSiemens          float64

	thirdTurns, thirdOhms, thirdCoupling float64 // thirdTurns 0: none

	condenserFarads, seriesOhms, leakSiemens float64

	contactOhms, contactVolts float64 // closed points or a switch that is on
	limitAmperes              float64 // 0: none

	arcs                                     bool
	arcVolts, arcOhms, arcHoldAmperes        float64
	arcStartVolts, arcRiseVoltsPerSecond     float64
	breakdownVolts, burnVolts, burnOhms      float64
	extinctionAmperes                        float64
	hot                                      bool
	hotVolts, hotSeconds                     float64
	closedSeconds, openSeconds, cycleSeconds float64

	// A source coil across the points takes the third winding's place: not
	// coupled to the coil, its end at the points' node.
	sourceHenries, sourceOhms float64 // sourceHenries 0: none
	// The magnet's flux: linkage at knots in time, half cosines between; turns
	// of each winding per turn of the linkage.
	webers float64
	knots  [maxKnots]knot
	nKnots int
	emf    [3]float64

	// A diode across the points or the primary, and a thyristor between store
	// and primary.
	reverses                  bool
	reverseVolts, reverseOhms float64
	thyristor                 bool

	// Derived by prepare.
	merged            bool // tower and plug are one node
	third             bool
	port              [3]float64 // how each winding feeds the node of the points
	n                 int        // states
	iC, iS, iG        int        // index of the condenser, tower, plug state
	s                 [3][3]float64
	u                 [3][3]float64
	windings          int
	rootC             float64    // √C of the condenser
	towerRow, plugRow [2]float64 // volts from the two high-tension states
	leadRow           float64
}

// prepare works out what all phases share: the number of states and the
// Cholesky factor S of the inductances with its inverse U, by closed forms in
// which nothing cancels when the coupling is tight.
func (c *circuit) prepare() {
	c.merged = c.leadOhms < mergeOhms
	c.third = c.thirdTurns > 0 || c.sourceHenries > 0
	c.windings = 2
	if c.third {
		c.windings = 3
	}
	c.iC = c.windings
	c.iS = c.iC + 1
	c.iG = c.iS + 1
	if c.merged {
		c.iG = c.iS
	}
	c.n = c.iG + 1

	k := c.coupling
	s1 := math.Sqrt(c.primaryHenries)
	s2 := s1 * c.turns
	q := math.Sqrt((1 - k) * (1 + k))
	c.s[0][0] = s1
	c.s[1][0], c.s[1][1] = k*s2, q*s2
	if c.sourceHenries > 0 {
		c.s[2][2] = math.Sqrt(c.sourceHenries)
		c.thirdOhms = c.sourceOhms
	} else if c.third {
		k3 := c.thirdCoupling
		s3 := s2 * c.thirdTurns
		x := k3 * math.Sqrt((1-k)/(1+k))
		c.s[2][0], c.s[2][1], c.s[2][2] = k3*s3, x*s3, math.Sqrt(1-k3*k3-x*x)*s3
	}
	c.u[0][0] = 1 / c.s[0][0]
	c.u[1][1] = 1 / c.s[1][1]
	c.u[1][0] = -c.s[1][0] * c.u[0][0] * c.u[1][1]
	if c.third {
		c.u[2][2] = 1 / c.s[2][2]
		c.u[2][1] = -c.s[2][1] * c.u[1][1] * c.u[2][2]
		c.u[2][0] = -(c.s[2][0]*c.u[0][0] + c.s[2][1]*c.u[1][0]) * c.u[2][2]
	}
	for k := range c.windings {
		c.port[k] = c.u[k][0]
		if c.sourceHenries > 0 {
			c.port[k] += c.u[k][2]
		}
	}
	c.rootC = math.Sqrt(c.condenserFarads)
	// The high-tension side's two states are the charge that tower and plug
	// share and the difference between them: a small lead resistance then
	// touches only the second, and the first keeps its digits.
	total := c.towerFarads + c.plugFarads
	share := 1 / math.Sqrt(total)
	c.towerRow = [2]float64{share, math.Sqrt(c.plugFarads/c.towerFarads) * share}
	c.plugRow = [2]float64{share, -math.Sqrt(c.towerFarads/c.plugFarads) * share}
	c.leadRow = math.Sqrt(total / (c.towerFarads * c.plugFarads))
}

// contact says what the points are doing.
type contact uint8

const (
	closed contact = iota
	open
	arcing   // or a switch's clamp
	reversed // a diode across them conducts
	holding  // a transistor holds its current
)

// setting is one position of all switches: it fixes the matrix of a phase.
// The polarity of a burning gap changes only the sources.
type setting struct {
	points  contact
	burning bool
	cut     bool // the condenser's branch is off: a thyristor that has gone out
}

// path returns what stands between the primary's end and ground, other than
// the condenser: a resistance and a voltage source.
func (c *circuit) path(p contact) (ohms, volts float64) {
	switch p {
	case closed:
		return c.contactOhms, c.contactVolts
	case arcing:
		return c.arcOhms, c.arcVolts
	case reversed:
		return c.reverseOhms, -c.reverseVolts
	case holding:
		// A source of current: its insulation, and volts enough behind it.
		return openOhms, -openOhms * c.limitAmperes
	}
	if c.thyristor {
		return cutOhms, 0
	}
	return openOhms, 0
}

// series is what stands between the node of the points and the condenser.
func (c *circuit) series(set setting) float64 {
	if set.cut {
		return openOhms
	}
	return c.seriesOhms
}

// assemble writes the matrix A of z' = A z + b for one setting, where
// |z|²/2 is the energy stored: z = [Sᵀ i; √C v], the last two turned to sum and
// difference of the high-tension side.
func (c *circuit) assemble(set setting, a *matrix) {
	n := c.n
	for i := range n {
		a[i] = vector{}
	}
	r, _ := c.path(set.points)
	series := c.series(set)
	sum := r + series
	f := r / sum
	// Resistances in series with the windings, U R Uᵀ.
	var ohms [3]float64
	ohms[0] = c.loopOhms
	ohms[1] = c.secondaryOhms
	ohms[2] = c.thirdOhms
	m := c.windings
	for i := range m {
		for j := range i + 1 {
			x := 0.0
			for k := range j + 1 { // U is lower triangular and j <= i
				x -= c.u[i][k] * ohms[k] * c.u[j][k]
			}
			x -= series * f * c.port[i] * c.port[j]
			a[i][j] = x
			a[j][i] = x
		}
	}
	// Lossless exchange between windings and capacitors.
	for i := range m {
		x := -c.port[i] * f / c.rootC
		a[i][c.iC], a[c.iC][i] = x, -x
		if i >= 1 {
			y := -c.u[i][1] * c.towerRow[0]
			a[i][c.iS], a[c.iS][i] = y, -y
			if !c.merged {
				y = -c.u[i][1] * c.towerRow[1]
				a[i][c.iG], a[c.iG][i] = y, -y
			}
		}
	}
	a[c.iC][c.iC] = -(1/sum + c.leakSiemens) / (c.rootC * c.rootC)
	gap := c.shuntSiemens
	if set.burning {
		gap += 1 / c.burnOhms
	}
	s, g := c.towerRow, c.plugRow
	a[c.iS][c.iS] = -(c.coreSiemens + gap) * s[0] * s[0]
	if c.merged {
		return
	}
	a[c.iG][c.iG] = -(c.coreSiemens*s[1]*s[1] + gap*g[1]*g[1] + c.leadRow*c.leadRow/c.leadOhms)
	x := -(c.coreSiemens*s[0]*s[1] + gap*g[0]*g[1])
	a[c.iS][c.iG], a[c.iG][c.iS] = x, x
}

// rest is where the state of a phase would settle: the direct-current solution
// in closed form, so that slow and fast parts of the circuit cannot spoil each
// other. gapVolts is the source in the burning gap, with its sign.
func (c *circuit) rest(set setting, gapVolts float64, z *vector) {
	r, e := c.path(set.points)
	series := c.series(set)
	leak := c.leakSiemens / (1 + series*c.leakSiemens)
	g := 1 / r
	source := 0.0
	if c.sourceHenries > 0 {
		source = 1 / c.sourceOhms
	}
	p := (c.batteryVolts + c.loopOhms*g*e) / (1 + c.loopOhms*(g+leak+source))
	i3 := -p * source
	i1 := g*(p-e) + leak*p - i3
	vC := p / (1 + series*c.leakSiemens)
	var i2, vS, vG float64
	if set.burning {
		gb := 1 / c.burnOhms
		side := 1/c.secondaryOhms + c.coreSiemens
		if c.merged {
			vG = gapVolts * gb / (gb + c.shuntSiemens + side)
			vS = vG
		} else {
			vG = gapVolts * gb / (gb + c.shuntSiemens + side/(1+c.leadOhms*side))
			vS = vG / (1 + c.leadOhms*side)
		}
		i2 = -vS / c.secondaryOhms
	}
	c.energyState(i1, i2, i3, vC, vS, vG, z)
}

// energyState turns currents and voltages into the state z.
func (c *circuit) energyState(i1, i2, i3, vC, vS, vG float64, z *vector) {
	*z = vector{}
	z[0] = c.s[0][0]*i1 + c.s[1][0]*i2 + c.s[2][0]*i3
	z[1] = c.s[1][1]*i2 + c.s[2][1]*i3
	if c.third {
		z[2] = c.s[2][2] * i3
	}
	z[c.iC] = c.rootC * vC
	if c.merged {
		z[c.iS] = vS / c.towerRow[0]
		return
	}
	z[c.iS] = (c.towerFarads*vS + c.plugFarads*vG) * c.towerRow[0]
	z[c.iG] = (vS - vG) / c.leadRow
}

// An output is a linear form of the state and a constant.
type output struct {
	row      vector
	constant float64
}

// current is the current in winding w: 0 primary, 1 secondary, 2 shorted turns.
func (c *circuit) current(w int) (o output) {
	// i = Uᵀ z.
	for k := w; k < c.windings; k++ {
		o.row[k] = c.u[k][w]
	}
	return o
}

// plugVolts is the voltage across the gap, positive in the opening sense.
func (c *circuit) plugVolts() (o output) {
	o.row[c.iS] = c.plugRow[0]
	if !c.merged {
		o.row[c.iG] = c.plugRow[1]
	}
	return o
}

// towerVolts is the voltage at the coil's tower.
func (c *circuit) towerVolts() (o output) {
	o.row[c.iS] = c.towerRow[0]
	if !c.merged {
		o.row[c.iG] = c.towerRow[1]
	}
	return o
}

// condenserVolts is the voltage of the condenser proper.
func (c *circuit) condenserVolts() (o output) {
	o.row[c.iC] = 1 / c.rootC
	return o
}

// primaryVolts is the voltage across the points.
func (c *circuit) primaryVolts(set setting) (o output) {
	r, e := c.path(set.points)
	series := c.series(set)
	sum := r + series
	for k := range c.windings {
		o.row[k] = c.port[k] * series * (r / sum)
	}
	o.row[c.iC] = r / sum / c.rootC
	o.constant = series * e / sum
	return o
}

// pointsCurrent is the current through the points, the arc or the diode.
func (c *circuit) pointsCurrent(set setting) (o output) {
	r, e := c.path(set.points)
	series := c.series(set)
	sum := r + series
	for k := range c.windings {
		o.row[k] = c.port[k] * series / sum
	}
	o.row[c.iC] = 1 / (sum * c.rootC)
	o.constant = -e / sum
	return o
}

// branchCurrent is the current into the condenser.
func (c *circuit) branchCurrent(set setting) (o output) {
	r, e := c.path(set.points)
	sum := r + c.series(set)
	for k := range c.windings {
		o.row[k] = c.port[k] * r / sum
	}
	o.row[c.iC] = -1 / (sum * c.rootC)
	o.constant = e / sum
	return o
}

// gapCurrent is the current through the burning gap.
func (c *circuit) gapCurrent(gapVolts float64) (o output) {
	o = c.plugVolts()
	for i := c.iS; i <= c.iG; i++ {
		o.row[i] /= c.burnOhms
	}
	o.constant = -gapVolts / c.burnOhms
	return o
}

// apply evaluates an output at a state.
func (o *output) apply(z *vector) float64 {
	y := o.constant
	for i, x := range z {
		y += o.row[i] * x
	}
	return y
}
