package schema

import (
	"cmp"
	"strings"

	"fairmeasure/journal"
	"fairmeasure/journal/balance"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

// wet names a calibration: a method with its ice, or with "" over all ice.
type wet struct {
	method journal.Method
	ice    string
}

func wetOf(made journal.Made) wet {
	return wet{made.Method, strings.ToLower(strings.TrimSpace(made.Ice))}
}

// onCurve tells the methods that have a published curve, and so a calibration.
func onCurve(m journal.Method) bool { return m == journal.Stirred || m == journal.Shaken }

// calibrations gives how wet the owner's drinks come out, by method and ice and by method over all ice. They stand on the
// pours whose water was weighed or measured, and on nothing else; the order of pours does not matter. A pour that is about
// right is not taken: what was in it is not known well enough.
func (j *Journal) calibrations() map[wet]dilution.Calibration {
	if j.wet != nil {
		return j.wet
	}
	seen := map[wet][]float64{}
	j.view.Each("pour", func(e *replica.Entity) bool {
		if len(e.Fields["after_mg"]) == 0 && len(e.Fields["water_ul"]) == 0 || hidden(e) {
			return true
		}
		r, by := row{e}, together(e, "before_mg")
		made := textOf(r, "made")
		water := waterOf(Pour{BeforeMG: intOf(by, "before_mg"), AfterMG: intOf(by, "after_mg"), WaterUL: intOf(by, "water_ul")}).Volume()
		if truthOf(r, "about") || made == "" || !water.Known {
			return true
		}
		if s := j.kept.wetness(made, water.Value); s.share > 0 {
			over := wet{s.of.method, ""}
			seen[over] = append(seen[over], s.share)
			if s.of != over {
				seen[s.of] = append(seen[s.of], s.share)
			}
		}
		return true
	})
	j.wet = map[wet]dilution.Calibration{}
	for of, shares := range seen {
		if c := dilution.Calibrate(shares); c.Drinks > 0 {
			j.wet[of] = c
		}
	}
	return j.wet
}

// expected is the water of a glass that nobody weighed: as the owner's other drinks of its method and ice have it, else of
// its method, else as the method decides.
func (j *Journal) expected(made journal.Made) dilution.Water {
	if !onCurve(made.Method) {
		return dilution.Water{}
	}
	of := wetOf(made)
	c, ok := j.calibrations()[of]
	if !ok {
		c = j.calibrations()[wet{of.method, ""}]
	}
	return c.Water()
}

// wetness is the water of one glass as a share of what the published curve says for it; 0 where the curve says nothing.
type wetness struct {
	of    wet
	share float64
}

// wetness compares the measured water of a glass with the curve.
func (k *kept) wetness(made string, water unit.Volume) wetness {
	key := weighed{made, water}
	if w, ok := k.wet[key]; ok {
		return w
	}
	w := wetness{}
	if m, err := journal.ParseMade(made); err == nil && onCurve(m.Method) {
		w.of = wetOf(m)
		d := balance.Of(m, dilution.Water{}).Dilution
		if d.Basis == dilution.Curve && d.Water.Known && d.Water.Value > 0 {
			w.share = water.ML() / d.Water.Value
		}
	}
	if len(k.wet) >= mostKept {
		clear(k.wet)
	}
	k.wet[key] = w
	return w
}

// calibration answers how wet the owner's own drinks come out, against the published curves: a row for each method and
// ice, and one over all ice where there is more than one.
func (j *Journal) calibration(question) (any, error) {
	out := calibrationJSON{Rows: []calibrationRowJSON{}}
	all := j.calibrations()
	for of, c := range all {
		if of.ice == "" && alone(all, of.method, c.Drinks) {
			continue
		}
		out.Rows = append(out.Rows, calibrationRowJSON{
			Method: string(of.method), Ice: of.ice, Drinks: c.Drinks, Percent: round(100*c.Factor, 0),
			Lo: round(100*(c.Factor-c.Half), 0), Hi: round(100*(c.Factor+c.Half), 0), SeenPercent: round(100*c.Seen, 0),
		})
	}
	inOrder(out.Rows, func(a, b calibrationRowJSON) int {
		return cmp.Or(strings.Compare(a.Method, b.Method), strings.Compare(a.Ice, b.Ice))
	})
	return out, nil
}

// alone tells that all drinks of a method were made with one named ice.
func alone(all map[wet]dilution.Calibration, method journal.Method, drinks int) bool {
	for of, c := range all {
		if of.method == method && of.ice != "" && c.Drinks == drinks {
			return true
		}
	}
	return false
}
