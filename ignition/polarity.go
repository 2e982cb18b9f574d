package ignition

// Polarity is which battery terminal, or which end of a winding, is joined to
// the frame. The zero value is PolarityUnknown.
type Polarity uint8

// The polarities.
const (
	PolarityUnknown Polarity = iota
	NegativeGround
	PositiveGround
)

var polarityWords = []string{"unknown", "negative", "positive"}

// ParsePolarity reads "negative", "positive" or "unknown"; anything else is a
// *WordError.
func ParsePolarity(text string) (Polarity, error) {
	i, err := parseWord("ground polarity", polarityWords, text)
	return Polarity(i), err
}

// String returns "negative", "positive" or "unknown".
func (p Polarity) String() string { return wordOf(polarityWords, int(p)) }

// MarshalText writes the word of the polarity.
func (p Polarity) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads what MarshalText writes; the error is a *WordError.
func (p *Polarity) UnmarshalText(text []byte) error {
	v, err := ParsePolarity(string(text))
	if err == nil {
		*p = v
	}
	return err
}
