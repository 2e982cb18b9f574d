// Package picture draws what the library found, and says the same in words.
//
// Every function takes plain values of the packages above and returns a
// [Picture]: one svg element that stands alone or inside a page, and sentences
// that carry the same facts for those who cannot or would rather not look.
// [Wiring] draws a harness; [Spark], [Reserve], [Piston], [Reading],
// [Ranking] and [Probes] draw the rest.
//
// The drawings need no script, no network and no fonts of their own. They are
// told apart by form first: dashes, hatching, arrows and words; colour is ink,
// paper and a grey for frames, held in three variables (--gb-ink, --gb-paper,
// --gb-frame) that follow dark, light and print. All coordinates have at most
// one decimal place, and the same values give the same bytes.
package picture
