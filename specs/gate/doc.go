// Package gate reads one small TOML document that somebody else wrote: a table
// of the book, a job, a harness, a case. It either refuses the document with
// every problem it can find, each with its place, or hands over an ordered
// tree in which every key and every value knows its line and column.
//
// # How a document is read
//
//  1. The size is checked before anything else is looked at.
//  2. CR LF is read as LF, so a document has the same values on every system.
//  3. All characters are checked, in comments and strings too. See [CodeNUL],
//     [CodeBOM], [CodeControl], [CodeBidi] and [CodeHidden].
//  4. Our own scanner goes through the text once. It knows TOML 1.0 and nothing
//     newer, keeps the caps below, checks that no key is set twice, and builds
//     the tree of keys with their places.
//  5. The library (toml.Decode) decodes the text. The values in the tree are
//     the library's, never the scanner's.
//  6. The keys that the library saw, their order, and the kind of each value
//     are compared with the scanner's. If the two differ in anything the
//     document is refused with [CodeInternal]: a place is never guessed.
//
// # What is refused on purpose
//
// TOML 1.0 allows more than the documents of this project need. The gate also
// refuses: keys in quotes and keys with anything but A-Z a-z 0-9 _ and -,
// arrays of tables ([[name]]), control characters also when written as escapes
// (\b, \f, \r, \u001b), invisible characters and those that change the reading
// direction, and documents past the caps: [MaxBytes], [MaxKeys], [MaxParts],
// [MaxDepth], [MaxKeyBytes], [MaxNumberBytes].
//
// The caps are there because the library can be stopped by a hostile document:
// deep nesting overflows its stack, which no program can recover from, and long
// dotted keys make it need gigabytes. No document of the book comes near one.
//
// Documents are immutable once read and safe to share between goroutines.
package gate
