package trace

// paths predicts readings through the wiring.
func (b *builder) paths() error { return nil }
