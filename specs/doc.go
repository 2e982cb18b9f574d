// Package specs is the book: ignition figures of small engines, each with its
// source, its place in that source and what the page prints.
//
// The tables are TOML files under this folder, one file an engine family, a
// part class, a source, a limit or a caution. [Builtin] opens the tables that
// ship with the module, [Load] reads another folder of the same shape, and
// [Book.Overlay] lays a shop's own folder over either.
//
// Every document goes through the gate of package gate, is decoded into a map
// and then walked against one table of fields, so that all its problems are
// reported at once with file, line and column. The same table of fields makes
// the JSON Schemas in the schema folder.
//
// Looking an engine up by id reads that engine's file and nothing else. Books
// and everything in them are immutable and safe to share between goroutines.
package specs
