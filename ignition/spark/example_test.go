package spark_test

import (
	"fmt"

	"gapbook.example/ignition/spark"
	"gapbook.example/units"
)

func ExampleCompute() {
	parts := &spark.Parts{
		Battery: spark.Battery{Voltage: units.Volts(12.6), Resistance: units.Ohms(0.05)},
		Wiring:  units.Ohms(0.15),
		Coil: spark.Coil{
			PrimaryResistance:    units.Ohms(3.4),
			PrimaryInductance:    units.Millihenries(8),
			TurnsRatio:           85,
			Coupling:             0.98,
			SecondaryResistance:  units.Kilohms(9),
			CoreLoss:             units.Megohms(8),
			SecondaryCapacitance: units.Picofarads(45),
		},
		Points:    spark.Points{ContactResistance: units.Ohms(0.05)},
		Condenser: spark.Condenser{Capacitance: units.Microfarads(0.22), SeriesResistance: units.Ohms(0.2), Leakage: units.Gigohms(1)},
		Lead:      units.Kilohms(5),
		Plug: spark.Plug{
			Capacitance: units.Picofarads(12), Shunt: units.Gigohms(1), Breakdown: units.Kilovolts(10),
			BurningVoltage: units.Volts(600), BurningResistance: units.Ohms(500), ExtinctionCurrent: units.Milliamperes(4),
		},
		Run: spark.Run{Speed: units.RPM(1800), Dwell: 0.45, SparksPerRev: 0.5},
	}
	event, err := spark.Compute(parts)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f A, %.1f kV on hand, fires after %.1f µs, burns %.2f ms with %.1f mJ\n",
		event.Current.Amperes(), event.Open.Secondary.Kilovolts(), event.Fired.Time.Microseconds(),
		event.Fired.Burn.Milliseconds(), event.Fired.Energy.Millijoules())

	parts.Coil.Coupling = 1
	_, err = spark.Compute(parts)
	fmt.Println(err)
	// Output:
	// 3.45 A, 31.1 kV on hand, fires after 22.5 µs, burns 2.24 ms with 28.1 mJ
	// coil.coupling: it is 1, and it has to be less than 1; windings that share all of their flux, or none, do not exist
}
