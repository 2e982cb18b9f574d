// Package spark computes one ignition spark exactly, within a stated model: the
// current a coil holds when its points open, the kilovolts it could make, when
// the plug fires, how long it burns and with what energy.
package spark
