// Package ignition is the vocabulary of a small engine's ignition: the kinds
// of system and the roles each needs, the parts and what can be known of them,
// and the findings that a check of them makes.
//
// Words are those of the trade: points (contact breaker), condenser (the
// capacitor across them), coil, ballast, plug, lead, cap, key switch, module,
// trigger. A part is a small struct whose zero value says that nothing is
// known of it; [Known] keeps a value that was never read apart from one that
// reads zero. Parts are described by what they are and what they measure,
// never by maker or part number.
//
// Judging a reading is package meter's work. The files: system.go, role.go,
// engine.go, a file a part, rig.go for the whole set, finding.go and
// verdict.go for what comes out.
package ignition
