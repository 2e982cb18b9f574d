// Package house has no code of its own. Its tests hold what the repository as
// a whole promises: what stands at the top, who imports whom, that every
// exported name is explained, that papers say what the programs do, that
// engines of the book stay in the book, and that every file is plain and
// portable.
//
// The tests need nothing but Go. They read every file of the module, so a
// cached result never outlives a change.
//
// The folder shop holds an invented shop's own tables, which the README lays
// over the book.
package house
