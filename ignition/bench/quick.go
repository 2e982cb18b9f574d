package bench

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/meter"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
	"gapbook.example/units"
)

// Quick makes a job from readings said in a line each, for a shop counter.
// The zero Quick names no engine.
type Quick struct {
	// Engine is an id of the book.
	Engine string
	// Model, Meter (an accuracy), LeadZero and Temperature may be empty.
	Model, Meter, LeadZero, Temperature string
}

// maxQuick bounds the number of readings in one quick job.
const maxQuick = 256

// Job reads lines such as "points gap 18 thou", "secondary 11.2 kΩ" or
// "timing full-advance 23° BTDC": a quantity by any of its names, the label of
// a figure where the book has several, and the value. The error is a
// [gate.Problems].
func (q Quick) Job(readings ...string) (*Job, error) {
	job := &Job{Engine: q.Engine, EngineAt: ignition.Position{File: "engine"}, Model: q.Model}
	var problems gate.Problems
	if q.Meter != "" {
		if _, err := meter.ParseAccuracy(units.KindResistance, q.Meter); err != nil {
			problems = append(problems, gate.Problem{File: "meter", Code: "bad-accuracy", Message: err.Error()})
		}
		job.Meter.Accuracy = q.Meter
	}
	if q.LeadZero != "" {
		if _, err := (meter.Reading{}).WithLeadZero(q.LeadZero); err != nil {
			problems = append(problems, gate.Problem{File: "lead zero", Code: "bad-lead-zero", Message: err.Error()})
		}
		job.Meter.LeadZero = q.LeadZero
	}
	if q.Temperature != "" {
		t, err := units.ParseTemperature(q.Temperature)
		if err != nil {
			problems = append(problems, gate.Problem{File: "temperature", Code: "bad-temperature", Message: err.Error()})
		}
		job.Meter.Temperature = ignition.Know(t)
	}
	switch {
	case len(readings) == 0:
		problems = append(problems, gate.Problem{File: "readings", Code: "no-reading", Message: "no reading was given, so there is nothing to check", Hint: "add one in quotes, such as \"points gap 18 thou\""})
	case len(readings) > maxQuick:
		problems = append(problems, gate.Problem{File: "readings", Code: "too-many", Message: fmt.Sprintf("%d readings are more than %d", len(readings), maxQuick), Hint: "write a job file"})
		readings = nil
	}
	// Words that only make sense together had their quotes forgotten.
	if whole := strings.Join(readings, " "); len(readings) > 1 && !isReading(readings[0]) && isReading(whole) {
		problems = append(problems, gate.Problem{File: "readings", Code: "no-quotes", Message: "the words of a reading came one by one", Hint: "put each reading in quotes: " + strconv.Quote(whole)})
		readings = nil
	}
	for i, line := range readings {
		r, err := quickReading(line)
		if err != nil {
			problems = append(problems, gate.Problem{File: fmt.Sprintf("reading %d", i+1), Code: "bad-reading", Message: err.Error()})
			continue
		}
		r.At = ignition.Position{File: fmt.Sprintf("reading %d", i+1)}
		job.Readings = append(job.Readings, r)
	}
	if len(problems) > 0 {
		return nil, problems
	}
	return job, nil
}

func isReading(line string) bool {
	_, err := quickReading(line)
	return err == nil
}

func quickReading(line string) (Reading, error) {
	if len(line) > 400 {
		return Reading{}, fmt.Errorf("the line is too long for a reading")
	}
	words := strings.Fields(strings.NewReplacer("=", " ", ": ", " ").Replace(line))
	for n := len(words) - 1; n >= 1; n-- {
		info, ok := specs.QuantityByName(strings.Join(words[:n], " "))
		if !ok {
			continue
		}
		if info.Words() {
			return Reading{}, fmt.Errorf("%s is a fact in words and cannot be read off a meter", info.Title)
		}
		value := strings.Join(words[n:], " ")
		r, err := parseReading(info, value, "")
		label := ""
		if err != nil && len(words) > n+1 {
			// The word before the value may be the label of a figure.
			if again, second := parseReading(info, strings.Join(words[n+1:], " "), ""); second == nil {
				r, err, label, value = again, nil, words[n], strings.Join(words[n+1:], " ")
			}
		}
		if err != nil {
			return Reading{}, withOtherQuantity(err, value)
		}
		return Reading{Quantity: info.Key, Figure: label, Value: r, Text: value}, nil
	}
	if _, ok := specs.QuantityByName(strings.Join(words, " ")); ok {
		return Reading{}, fmt.Errorf("%s has no value; write it behind, with its unit", strconv.Quote(line))
	}
	hint := "write a quantity and its value, such as \"points gap 18 thou\""
	for n := len(words); n >= 1; n-- {
		name := strings.Join(words[:n], " ")
		if titles := specs.QuantitiesNamed(name); len(titles) > 0 {
			hint = "which one: " + strings.Join(titles, ", ") + "?"
			break
		}
		if near, ok := gate.Nearest(name, specs.QuantityNames()); ok && len(name) > 3 {
			hint = "did you mean " + strconv.Quote(near) + "?"
			break
		}
	}
	return Reading{}, fmt.Errorf("%s names no quantity of the book with a value; %s", strconv.Quote(line), hint)
}

// withOtherQuantity adds which quantities the value would suit, where it was
// given to one of another kind.
func withOtherQuantity(err error, value string) error {
	var pe *units.ParseError
	if !errors.As(err, &pe) || pe.Code != units.WrongQuantity {
		return err
	}
	for _, k := range units.Kinds() {
		if _, other := units.Parse(k, value); other != nil {
			continue
		}
		var titles []string
		for _, q := range specs.Quantities() {
			if q.Kind == k {
				titles = append(titles, q.Title)
			}
		}
		if len(titles) > 0 && len(titles) <= 4 {
			return fmt.Errorf("%w; that is a reading of %s", err, strings.Join(titles, " or "))
		}
	}
	return err
}
