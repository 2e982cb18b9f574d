// Package trace finds what is wrong with an engine that will not run.
package trace
