//go:build race

package specs_test

// raceOn tells tests that limits of time and memory mean nothing: the race
// detector drops what pools hold (fmt and regexp take theirs from them) and makes
// everything several times slower.
const raceOn = true
