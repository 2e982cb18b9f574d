//go:build race

package specs_test

// raceOn tells tests that time limits mean nothing: the race detector makes
// everything several times slower.
const raceOn = true
