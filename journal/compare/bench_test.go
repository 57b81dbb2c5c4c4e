package compare

import "testing"

// wide is 50 by 50 with 200 tastings in 40 flights.
func wide() Study {
	s := Study{Slots: []Slot{{Candidates: 50}, {Candidates: 50}}}
	seeds := &Seeds{50}
	for flight := range 40 {
		s.Segments = append(s.Segments, Segment{Declared: 7, Known: true, Anchor: AnchorDrunk})
		for place := range 5 {
			p := Pairing{int16(seeds.Below(50)), int16(seeds.Below(50))}
			if place == 0 {
				p = s.Benchmark
			}
			s.Tastings = append(s.Tastings, Tasting{Pairing: p, Segment: flight, Flight: flight, Place: place + 1, Of: 5, Weight: Blind, Score: 7 + seeds.normal()})
		}
	}
	return s
}

func BenchmarkFit(b *testing.B) {
	s := wide()
	for b.Loop() {
		if _, err := Of(s); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPlan(b *testing.B) {
	f, err := Of(wide())
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := f.Plan(Asked{Glasses: 6, Flights: 40, Seed: 1}); err != nil {
			b.Fatal(err)
		}
	}
}
