// Package units holds the quantities of the ignition bench.
package units

//go:generate go run ./internal/gen
