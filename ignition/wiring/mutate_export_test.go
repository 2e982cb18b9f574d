package wiring

// SoundLayouts are the layouts that are mutated, for tests outside the package.
func SoundLayouts() map[string]Facts { return layouts() }
