package compare

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/testdata"
)

const checksFile = "reference/comparison_checks.json"

// check is one row of the checks: 51 of them, each with its source and how it was computed (R, SciPy, NumPy, gonum).
type check struct {
	ID        string
	Input     json.RawMessage
	Expected  json.RawMessage
	Tolerance struct{ Abs float64 }
}

func checks(t *testing.T) map[string]check {
	raw, err := testdata.Files.ReadFile(checksFile)
	require.NoError(t, err)
	var file struct{ Checks []check }
	require.NoError(t, json.Unmarshal(raw, &file))
	out := map[string]check{}
	for _, c := range file.Checks {
		out[c.ID] = c
	}
	require.Len(t, out, 45)
	return out
}

func read[T any](t *testing.T, raw json.RawMessage) (into T) {
	t.Helper()
	require.NoError(t, json.Unmarshal(raw, &into))
	return into
}

func near(t *testing.T, c check, want, got []float64, what string) {
	t.Helper()
	require.Len(t, got, len(want), what)
	for i := range want {
		require.InDelta(t, want[i], got[i], c.Tolerance.Abs+1e-12, "%s: %s, number %d", c.ID, what, i)
	}
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return x
}

func table(t *testing.T, name string) []map[string]string {
	return testdata.Rows(t, "reference/comparison_data/"+name+".csv")
}

// levels numbers the words of a column, in the order given or as they come.
func levels(rows []map[string]string, column string, order ...string) (at []int, names []string) {
	names = order
	for _, row := range rows {
		i := slices.Index(names, row[column])
		if i < 0 {
			i = len(names)
			names = append(names, row[column])
		}
		at = append(at, i)
	}
	return at, names
}

// least fits by least squares with the room's own algebra: what is estimated, its covariance without the variance, the
// rest sum of squares.
func least(x [][]float64, y []float64) (b []float64, cov square, rss float64) {
	p := len(x[0])
	m, r := newSquare(p), make([]float64, p)
	for i, row := range x {
		for j, a := range row {
			r[j] += a * y[i]
			for k, c := range row {
				m.a[j*p+k] += a * c
			}
		}
	}
	if !m.factor() {
		panic("the columns are not independent")
	}
	b = slices.Clone(r)
	m.solve(b)
	for i, row := range x {
		e := y[i]
		for j, a := range row {
			e -= a * b[j]
		}
		rss += e * e
	}
	return b, m.inverse(), rss
}

// treatment codes factors against their first level, after a column of ones.
func treatment(n int, factors ...[]int) [][]float64 {
	x := make([][]float64, n)
	for i := range x {
		x[i] = []float64{1}
	}
	for _, f := range factors {
		for level := 1; level <= slices.Max(f); level++ {
			for i := range x {
				hit := 0.0
				if f[i] == level {
					hit = 1
				}
				x[i] = append(x[i], hit)
			}
		}
	}
	return x
}

func column(t *testing.T, rows []map[string]string, name string) (out []float64) {
	for _, row := range rows {
		out = append(out, number(t, row[name]))
	}
	return out
}

type leastWant struct {
	Est, Se, Lo, Hi []float64
	Sigma, Rss      float64
	DF              int
}

func holdLeast(t *testing.T, c check, x [][]float64, y []float64, from int) {
	want := read[leastWant](t, c.Expected)
	b, cov, rss := least(x, y)
	df := len(y) - len(b)
	require.Equal(t, want.DF, df)
	sigma := math.Sqrt(rss / float64(df))
	near(t, c, []float64{want.Sigma, want.Rss}, []float64{sigma, rss}, "rest")
	reach := StudentQuantile(0.975, df)
	var est, se, lo, hi []float64
	for i := from; i < from+len(want.Est); i++ {
		s := sigma * math.Sqrt(cov.at(i, i))
		est, se, lo, hi = append(est, b[i]), append(se, s), append(lo, b[i]-reach*s), append(hi, b[i]+reach*s)
	}
	near(t, c, want.Est, est, "estimate")
	near(t, c, want.Se, se, "standard error")
	near(t, c, want.Lo, lo, "low")
	near(t, c, want.Hi, hi, "high")
}

// reml fits one random grouping beside fixed columns by restricted maximum likelihood: its criterion is minimised over the
// ratio of the two variances by golden section.
func reml(x [][]float64, y []float64, group []int) (b, se []float64, groupSD, sigma float64) {
	n, p := len(y), len(x[0])
	fit := func(ratio float64) (criterion float64, b []float64, cov square, s2 float64) {
		v := newSquare(n)
		for i := range n {
			v.set(i, i, 1)
			for j := range n {
				if group[i] == group[j] {
					v.a[i*n+j] += ratio
				}
			}
		}
		if !v.factor() {
			panic("not positive definite")
		}
		logV := v.logDet()
		through := func(col []float64) []float64 {
			out := slices.Clone(col)
			v.solve(out)
			return out
		}
		m, r := newSquare(p), make([]float64, p)
		cols := make([][]float64, p)
		for j := range p {
			for i := range n {
				cols[j] = append(cols[j], x[i][j])
			}
		}
		vy := through(y)
		for j := range p {
			vx := through(cols[j])
			for k := range p {
				for i := range n {
					m.a[j*p+k] += vx[i] * cols[k][i]
				}
			}
			for i := range n {
				r[j] += vx[i] * y[i]
			}
		}
		var yvy float64
		for i := range n {
			yvy += y[i] * vy[i]
		}
		if !m.factor() {
			panic("the columns are not independent")
		}
		b = slices.Clone(r)
		m.solve(b)
		for j := range p {
			yvy -= b[j] * r[j]
		}
		s2 = yvy / float64(n-p)
		return logV + m.logDet() + float64(n-p)*math.Log(s2), b, m.inverse(), s2
	}
	low, high := math.Log(1e-4), math.Log(1e4)
	const golden = 0.6180339887498949
	for range 200 {
		a, c := high-golden*(high-low), low+golden*(high-low)
		fa, _, _, _ := fit(math.Exp(a))
		fc, _, _, _ := fit(math.Exp(c))
		if fa < fc {
			high = c
		} else {
			low = a
		}
	}
	ratio := math.Exp((low + high) / 2)
	_, b, cov, s2 := fit(ratio)
	for j := range p {
		se = append(se, math.Sqrt(s2*cov.at(j, j)))
	}
	return b, se, math.Sqrt(ratio * s2), math.Sqrt(s2)
}

// fixture is the made-up study of 10 by 2 with what its check states.
func fixture(t *testing.T, declared map[string]float64, unblinded float64) Study {
	s := Study{Slots: []Slot{{Candidates: 10}, {Candidates: 2}}}
	for i := range 5 {
		s.Segments = append(s.Segments, Segment{Declared: declared["s"+strconv.Itoa(i+1)], Known: true, Anchor: AnchorDrunk})
	}
	for _, row := range table(t, "fixture_10x2") {
		if row["score"] == "" {
			continue
		}
		w := Blind
		if row["blind"] == "0" {
			w = unblinded
		}
		segment := int(number(t, row["segment"][1:])) - 1
		s.Tastings = append(s.Tastings, Tasting{
			Pairing: named(t, row["slot_a"], row["slot_b"]), Segment: segment, Flight: segment, Place: int(number(t, row["position"])),
			Of: int(number(t, row["flight_size"])), Score: number(t, row["score"]), Weight: w,
		})
	}
	return s
}

func named(t *testing.T, a, b string) Pairing {
	return Pairing{int16(number(t, a[1:])) - 1, int16(number(t, b[1:])) - 1}
}

func called(p Pairing) []string {
	return []string{fmt.Sprintf("L%02d", p[0]+1), fmt.Sprintf("D%d", p[1]+1)}
}

var anchors = map[string]float64{"s1": 10, "s2": 10, "s3": 10, "s4": 8, "s5": 8}

func fitted(t *testing.T, s Study) *Fit {
	f, err := Of(s)
	require.NoError(t, err)
	return f
}

func everyPairing(f *Fit) []Pairing {
	all, err := f.pairings(nil)
	if err != nil {
		panic(err)
	}
	return all
}

// TestChecks runs every check by its id.
func TestChecks(t *testing.T) {
	all := checks(t)
	done := map[string]bool{}
	run := func(id string, fn func(t *testing.T, c check)) {
		require.Contains(t, all, id)
		require.False(t, done[id], id)
		done[id] = true
		t.Run(id, func(t *testing.T) { fn(t, all[id]) })
	}

	run("ls-01-warpbreaks", func(t *testing.T, c check) {
		rows := table(t, "warpbreaks")
		wool, _ := levels(rows, "wool", "A", "B")
		tension, _ := levels(rows, "tension", "L", "M", "H")
		holdLeast(t, c, treatment(len(rows), wool, tension), column(t, rows, "breaks"), 0)
	})
	run("ls-02-warpbreaks-interaction", func(t *testing.T, c check) {
		want := read[map[string]float64](t, c.Expected)
		rows := table(t, "warpbreaks")
		wool, _ := levels(rows, "wool", "A", "B")
		tension, _ := levels(rows, "tension", "L", "M", "H")
		y := column(t, rows, "breaks")
		_, _, additive := least(treatment(len(rows), wool, tension), y)
		cell := make([]int, len(rows))
		for i := range cell {
			cell[i] = 3*wool[i] + tension[i]
		}
		_, _, full := least(treatment(len(rows), cell), y)
		df := float64(len(rows) - 6)
		f := (additive - full) / 2 / (full / df)
		// With two degrees of freedom above, the tail of F is (1 + 2F/df)^(-df/2).
		near(t, c, []float64{want["SS_interaction"], want["F"], want["p"], want["rss"], want["df_resid"]},
			[]float64{additive - full, f, math.Pow(1+2*f/df, -df/2), full, df}, "interaction")
	})
	run("ls-03-npk", func(t *testing.T, c check) {
		rows := table(t, "npk")
		block, _ := levels(rows, "block")
		var factors [][]int
		for _, name := range []string{"N", "P", "K"} {
			f, _ := levels(rows, name, "0", "1")
			factors = append(factors, f)
		}
		holdLeast(t, c, treatment(len(rows), append([][]int{block}, factors...)...), column(t, rows, "yield"), 6)
	})
	run("ls-04-orchard-latin", func(t *testing.T, c check) {
		rows := table(t, "orchardsprays")
		row, _ := levels(rows, "rowpos")
		col, _ := levels(rows, "colpos")
		spray, _ := levels(rows, "treatment", strings.Split("ABCDEFGH", "")...)
		holdLeast(t, c, treatment(len(rows), row, col, spray), column(t, rows, "decrease"), 15)
	})
	run("ls-05-meat-bibd", func(t *testing.T, c check) {
		rows := table(t, "meat_bibd")
		pair, _ := levels(rows, "Pair")
		storage, _ := levels(rows, "Storage", "0", "1", "2", "4", "9", "18")
		holdLeast(t, c, treatment(len(rows), pair, storage), column(t, rows, "score"), 15)
	})
	run("ls-06-sleep-paired", func(t *testing.T, c check) {
		want := read[map[string]float64](t, c.Expected)
		by := map[string]float64{}
		for _, row := range table(t, "sleep") {
			sign := 1.0
			if row["group"] == "2" {
				sign = -1
			}
			by[row["ID"]] += sign * number(t, row["extra"])
		}
		var x [][]float64
		var y []float64
		for _, d := range by {
			x, y = append(x, []float64{1}), append(y, d)
		}
		b, cov, rss := least(x, y)
		df := len(y) - 1
		se := math.Sqrt(rss / float64(df) * cov.at(0, 0))
		reach := StudentQuantile(0.975, df)
		near(t, c, []float64{want["t"], want["df"], want["p"], want["est"], want["lo"], want["hi"]},
			[]float64{b[0] / se, float64(df), 2 * Student(b[0]/se, df), b[0], b[0] - reach*se, b[0] + reach*se}, "paired")
	})
	run("mm-01-ergostool", func(t *testing.T, c check) {
		want := read[struct {
			Fix, Se []float64
			SD      float64 `json:"sd_subject"`
			Sigma   float64
		}](t, c.Expected)
		rows := table(t, "ergostool")
		kind, _ := levels(rows, "Type")
		subject, _ := levels(rows, "Subject")
		b, se, sd, sigma := reml(treatment(len(rows), kind), column(t, rows, "effort"), subject)
		near(t, c, want.Fix, b, "fixed")
		near(t, c, want.Se, se, "standard error")
		near(t, c, []float64{want.SD, want.Sigma}, []float64{sd, sigma}, "spread")
	})
	run("mm-02-meat-interblock", func(t *testing.T, c check) {
		want := read[struct {
			Fix, Se []float64
			SD      float64 `json:"sd_pair"`
			Sigma   float64
		}](t, c.Expected)
		rows := table(t, "meat_bibd")
		storage, _ := levels(rows, "Storage", "0", "1", "2", "4", "9", "18")
		pair, _ := levels(rows, "Pair")
		b, se, sd, sigma := reml(treatment(len(rows), storage), column(t, rows, "score"), pair)
		near(t, c, want.Fix, b, "fixed")
		near(t, c, want.Se, se, "standard error")
		near(t, c, []float64{want.SD, want.Sigma}, []float64{sd, sigma}, "spread")
	})
	run("mm-03-penicillin-ridge", func(t *testing.T, c check) {
		in := read[struct {
			Plate  float64 `json:"tau_plate"`
			Sample float64 `json:"tau_sample"`
			Sigma  float64
		}](t, c.Input)
		want := read[struct {
			Mu     float64
			Sample []float64
			PlateA float64 `json:"plate_a"`
			SD     float64 `json:"sd_sample_A_minus_F_posterior"`
		}](t, c.Expected)
		// The same engine: a slot for the plates and one for the samples, the mean all but free, no other effects.
		rows := table(t, "penicillin")
		plate, plates := levels(rows, "plate")
		sample, samples := levels(rows, "sample", strings.Split("ABCDEF", "")...)
		s := Study{Slots: []Slot{{Candidates: len(plates)}, {Candidates: len(samples)}}, Segments: []Segment{{Known: true}}}
		for i, y := range column(t, rows, "diameter") {
			s.Tastings = append(s.Tastings, Tasting{Pairing: Pairing{int16(plate[i]), int16(sample[i])}, Score: y, Weight: 1})
		}
		p := Priors{Mean: 1e7, Declared: 1e-12, Together: 1e-12, Place: 1e-12, A0: 2, B0: 1}
		// One ratio serves both slots of a study; that of the samples comes by the weight of a family of its own.
		p.Slot, p.InFamily, p.Family = in.Plate*in.Plate/(in.Sigma*in.Sigma), in.Sample*in.Sample/(in.Sigma*in.Sigma), 1e-12
		s.Slots[1].Families = make([]int, len(samples))
		f, err := With(s, p)
		require.NoError(t, err)
		var got []float64
		for i := range samples {
			got = append(got, f.effects[f.slots[1].first+i])
		}
		near(t, c, want.Sample, got, "samples")
		near(t, c, []float64{want.Mu, want.PlateA}, []float64{f.effects[0], f.effects[f.slots[0].first]}, "mean and plate")
		sd := in.Sigma * math.Sqrt(vector{{f.slots[1].first, 1}, {f.slots[1].first + 5, -1}}.within(f.inverse))
		near(t, c, []float64{want.SD}, []float64{sd}, "spread")
	})

	run("bayes-01-fixture-fit", func(t *testing.T, c check) {
		want := read[map[string]float64](t, c.Expected)
		f := fitted(t, fixture(t, anchors, Sighted))
		near(t, c, []float64{want["n_rows"], want["n_coefficients"], want["nu"], want["s2"], want["log_marginal_likelihood"]},
			[]float64{float64(f.Rows), float64(len(f.ratios)), float64(f.Degrees), f.variance, f.LogEvidence}, "fit")
	})
	type cell struct {
		A, B       string
		Est, SD, P float64
	}
	hold := func(t *testing.T, c check, f *Fit, cells []cell) {
		require.NotEmpty(t, cells)
		for _, want := range cells {
			d := f.Against(named(t, want.A, want.B))
			near(t, c, []float64{want.Est, want.SD, want.P}, []float64{d.Mean, d.SD, d.Better()}, want.A+want.B)
		}
	}
	run("bayes-02-fixture-contrasts", func(t *testing.T, c check) {
		hold(t, c, fitted(t, fixture(t, anchors, Sighted)), read[struct{ Cells []cell }](t, c.Expected).Cells)
	})
	run("bayes-03-best-untasted", func(t *testing.T, c check) {
		want := read[struct {
			Untasted   [][]string
			Best       []string
			Est, SD, P float64
		}](t, c.Expected)
		f := fitted(t, fixture(t, anchors, Sighted))
		var untasted [][]string
		var best Pairing
		most := math.Inf(-1)
		for _, p := range everyPairing(f) {
			if f.tried[p] != nil {
				continue
			}
			untasted = append(untasted, called(p))
			if d := f.Against(p); d.Mean > most {
				best, most = p, d.Mean
			}
		}
		require.Equal(t, want.Untasted, untasted)
		require.Equal(t, want.Best, called(best))
		d := f.Against(best)
		near(t, c, []float64{want.Est, want.SD, want.P}, []float64{d.Mean, d.SD, d.Better()}, "best")
	})
	run("bayes-04-reanchor-invariance", func(t *testing.T, c check) {
		shift := read[struct{ Shift map[string]float64 }](t, c.Input).Shift
		require.Len(t, shift, 3)
		before, moved := fixture(t, anchors, Sighted), fixture(t, anchors, Sighted)
		for i := range moved.Tastings {
			moved.Tastings[i].Score += shift["s"+strconv.Itoa(moved.Tastings[i].Segment+1)]
		}
		for i := range moved.Segments {
			moved.Segments[i].Declared += shift["s"+strconv.Itoa(i+1)]
		}
		require.NotEqual(t, before, moved)
		f, g := fitted(t, before), fitted(t, moved)
		for _, p := range everyPairing(f) {
			a, b := f.Against(p), g.Against(p)
			near(t, c, []float64{a.Mean, a.SD}, []float64{b.Mean, b.SD}, "unmoved")
		}
	})
	run("bayes-05-wrong-anchor", func(t *testing.T, c check) {
		want := read[map[string]float64](t, c.Expected)["max_abs_change_of_estimate"]
		wrong := read[struct{ Anchors map[string]float64 }](t, c.Input).Anchors
		f, g := fitted(t, fixture(t, anchors, Sighted)), fitted(t, fixture(t, wrong, Sighted))
		most := 0.0
		for _, p := range everyPairing(f) {
			most = max(most, math.Abs(f.Against(p).Mean-g.Against(p).Mean))
		}
		near(t, c, []float64{want}, []float64{most}, "largest change")
	})
	run("bayes-06-unblinded-weight", func(t *testing.T, c check) {
		want := read[struct {
			Cells []cell
			LML   float64 `json:"log_marginal_likelihood"`
		}](t, c.Expected)
		f := fitted(t, fixture(t, anchors, 1))
		hold(t, c, f, want.Cells)
		near(t, c, []float64{want.LML}, []float64{f.LogEvidence}, "evidence")
	})
	run("bayes-07-model-average", func(t *testing.T, c check) {
		want := read[map[string]float64](t, c.Expected)
		s := fixture(t, anchors, Sighted)
		other := Usual
		other.Slot, other.Together = 0.5, 0.1
		f := fitted(t, s)
		g, err := With(s, other)
		require.NoError(t, err)
		near(t, c, []float64{want["lml_default"], want["lml_alternative"], want["weight_default"]},
			[]float64{f.LogEvidence, g.LogEvidence, 1 / (1 + math.Exp(g.LogEvidence-f.LogEvidence))}, "evidence")
	})

	friedman := func(t *testing.T, c check, rows [][]float64) {
		want := read[map[string]float64](t, c.Expected)
		got, ok := Friedman(rows)
		require.True(t, ok)
		near(t, c, []float64{want["stat"], want["df"], want["p"]}, []float64{got.F, float64(got.Degrees), got.Chance}, "Friedman")
	}
	run("np-01-friedman-rounding", func(t *testing.T, c check) {
		var rows [][]float64
		for _, row := range table(t, "rounding_times") {
			rows = append(rows, []float64{number(t, row["round_out"]), number(t, row["narrow_angle"]), number(t, row["wide_angle"])})
		}
		friedman(t, c, rows)
	})
	run("np-02-friedman-ergostool", func(t *testing.T, c check) {
		all := table(t, "ergostool")
		subject, subjects := levels(all, "Subject")
		kind, kinds := levels(all, "Type")
		rows := make([][]float64, len(subjects))
		for i := range rows {
			rows[i] = make([]float64, len(kinds))
		}
		for i, row := range all {
			rows[subject[i]][kind[i]] = number(t, row["effort"])
		}
		friedman(t, c, rows)
	})
	run("np-03-iso8587-annexA", func(t *testing.T, c check) {
		in := read[struct {
			J    int
			Sums []float64 `json:"rank_sums"`
		}](t, c.Input)
		want := read[map[string]float64](t, c.Expected)
		got, ok := friedmanOf(in.Sums, in.J, 0)
		require.True(t, ok)
		near(t, c, []float64{want["F"], want["p"], want["lsd"]}, []float64{got.F, got.Chance, got.Least}, "ranking")
		require.InDelta(t, level, chiSquareAbove(want["crit"], got.Degrees), 1e-6)
	})

	foundOr := func(n int, p, alpha float64) *int {
		if k, ok := LeastFound(n, p, alpha); ok {
			return &k
		}
		return nil
	}
	run("disc-01-triangle-table", func(t *testing.T, c check) {
		rows := read[struct {
			Rows []struct {
				N                   int
				A10, A05, A01, A001 *int
			}
		}](t, c.Expected).Rows
		require.Len(t, rows, 44)
		for _, want := range rows {
			require.Equal(t, []*int{want.A10, want.A05, want.A01, want.A001},
				[]*int{foundOr(want.N, 1.0/3, 0.1), foundOr(want.N, 1.0/3, 0.05), foundOr(want.N, 1.0/3, 0.01), foundOr(want.N, 1.0/3, 0.001)}, want.N)
		}
	})
	run("disc-02-paired-table", func(t *testing.T, c check) {
		in := read[struct{ N []int }](t, c.Input)
		want := read[struct {
			One []*int `json:"one_sided"`
			Two []*int `json:"two_sided"`
		}](t, c.Expected)
		require.Len(t, in.N, 40)
		for i, n := range in.N {
			require.Equal(t, want.One[i], foundOr(n, 0.5, level), n)
			require.Equal(t, want.Two[i], foundOr(n, 0.5, level/2), n)
			if k := want.Two[i]; k != nil {
				require.True(t, Paired(n, *k).Shown)
				require.False(t, Paired(n, *k-1).Shown && *k-1 > n/2)
			}
		}
	})
	run("disc-04-binomial-p", func(t *testing.T, c check) {
		want := read[map[string]float64](t, c.Expected)
		near(t, c, []float64{want["p1"], want["p2"]}, []float64{atLeast(21, 30, 0.5), Paired(44, 32).Chance}, "tail")
	})

	free := 1e3 // hardly a prior at all: what maximum likelihood gives
	abilities := func(t *testing.T, c check, names []string, a Abilities, want, se []float64, reference int) {
		var got, gotSE []float64
		for i := range names {
			m, sd, _ := a.Apart(i, reference)
			got, gotSE = append(got, m), append(gotSE, sd)
		}
		near(t, c, want, got, "ability")
		if se != nil {
			near(t, c, se, gotSE, "standard error")
		}
	}
	type abilityWant struct {
		Item        []string
		Ability, Se []float64
		LogNu       float64 `json:"log_nu"`
		Deviance    float64
	}
	run("bt-01-citations", func(t *testing.T, c check) {
		want := read[abilityWant](t, c.Expected)
		var choices []Choice
		for _, row := range table(t, "citations_pairs") {
			i, j := slices.Index(want.Item, row["item1"]), slices.Index(want.Item, row["item2"])
			choices = append(choices, Choice{i, j, number(t, row["win1"])}, Choice{j, i, number(t, row["win2"])})
		}
		a, ok := Choose(len(want.Item), choices, free)
		require.True(t, ok)
		abilities(t, c, want.Item, a, want.Ability, want.Se, 0)
	})
	gels := func(t *testing.T) (all []Met) {
		for _, row := range table(t, "springall_flavour") {
			all = append(all, Met{int(number(t, row["item1"])) - 1, int(number(t, row["item2"])) - 1, number(t, row["win1"]), number(t, row["win2"]), number(t, row["tie"])})
		}
		require.Len(t, all, 36)
		return all
	}
	run("bt-02-springall-half-ties", func(t *testing.T, c check) {
		want := read[abilityWant](t, c.Expected)
		var choices []Choice
		for _, m := range gels(t) {
			choices = append(choices, Choice{m.First, m.Second, m.For + m.Ties/2}, Choice{m.Second, m.First, m.Against + m.Ties/2})
		}
		a, ok := Choose(9, choices, free)
		require.True(t, ok)
		abilities(t, c, want.Item, a, want.Ability, want.Se, 0)
	})
	run("bt-03-davidson-ties", func(t *testing.T, c check) {
		want := read[abilityWant](t, c.Expected)
		a, tie, ok := davidson(9, gels(t), free, free)
		require.True(t, ok)
		abilities(t, c, make([]string, 9), a, want.Ability, nil, 0)
		var deviance float64
		for _, m := range gels(t) {
			p := tieChances(a.Values[m.First]-a.Values[m.Second], math.Log(tie))
			for o, seen := range [3]float64{m.For, m.Against, m.Ties} {
				if seen > 0 {
					deviance += 2 * seen * math.Log(seen/(p[o]*(m.For+m.Against+m.Ties)))
				}
			}
		}
		near(t, c, []float64{want.LogNu, want.Deviance}, []float64{math.Log(tie), deviance}, "ties")
	})
	run("bt-04-ridge-separable", func(t *testing.T, c check) {
		want := read[struct {
			Mode   []float64
			Apart  float64 `json:"A_minus_C"`
			SD     float64
			Better float64 `json:"p_A_better"`
		}](t, c.Expected)
		a, ok := Choose(3, []Choice{{0, 1, 3}, {1, 2, 2}}, PriorAbility)
		require.True(t, ok)
		near(t, c, want.Mode, a.Values, "mode")
		m, sd, better := a.Apart(0, 2)
		near(t, c, []float64{want.Apart, want.SD, want.Better}, []float64{m, sd, better}, "apart")
	})

	run("doe-01-bibd-table", func(t *testing.T, c check) {
		want := read[struct{ E []float64 }](t, c.Expected).E
		var got []float64
		for _, d := range read[struct{ Designs [][5]int }](t, c.Input).Designs {
			v, b, r, k, lambda := d[0], d[1], d[2], d[3], d[4]
			require.Equal(t, []int{b, r, lambda}, slices.Clip(balanced(v, k, lambda)), d)
			got = append(got, float64(lambda*v)/float64(r*k))
		}
		near(t, c, want, got, "efficiency")
	})
	run("doe-02-cyclic-bibd", func(t *testing.T, c check) {
		in := read[struct {
			Base []struct {
				V     int
				Block []int
			}
		}](t, c.Input)
		want := read[struct{ Lam []int }](t, c.Expected).Lam
		require.Len(t, in.Base, len(want))
		for i, base := range in.Base {
			met := map[[2]int]int{}
			for shift := range base.V {
				for _, a := range base.Block {
					for _, b := range base.Block {
						if a != b {
							met[[2]int{(a + shift) % base.V, (b + shift) % base.V}]++
						}
					}
				}
			}
			require.Len(t, met, base.V*(base.V-1))
			for _, n := range met {
				require.Equal(t, want[i], n)
			}
		}
	})
	run("doe-03-bibd-infeasible", func(t *testing.T, c check) {
		want := read[struct{ Result [][3]int }](t, c.Expected).Result
		for i, vk := range read[struct{ Cases [][2]int }](t, c.Input).Cases {
			for lambda := 1; ; lambda++ {
				if got := balanced(vk[0], vk[1], lambda); got != nil {
					require.Equal(t, want[i], [3]int{lambda, got[1], got[0]})
					break
				}
			}
		}
	})
	for _, n := range []int{4, 5, 6} {
		run("doe-04-williams-"+strconv.Itoa(n), func(t *testing.T, c check) {
			want := read[struct {
				Rows []string
				N    int `json:"n_rows"`
				Each int `json:"each_position"`
				Pair int `json:"each_ordered_pair"`
			}](t, c.Expected)
			rows := Williams(n)
			require.Len(t, rows, want.N)
			var spelt []string
			place, after := map[[2]int]int{}, map[[2]int]int{}
			for _, row := range rows {
				word := ""
				for k, x := range row {
					word += string(rune('A' + x))
					place[[2]int{k, x}]++
					if k > 0 {
						after[[2]int{row[k-1], x}]++
					}
				}
				spelt = append(spelt, word)
			}
			require.ElementsMatch(t, want.Rows, spelt)
			require.Len(t, place, n*n)
			require.Len(t, after, n*(n-1))
			for _, k := range place {
				require.Equal(t, want.Each, k)
			}
			for _, k := range after {
				require.Equal(t, want.Pair, k)
			}
		})
	}
	run("doe-05-doptimal-4x2", func(t *testing.T, c check) {
		in := read[struct{ N []int }](t, c.Input)
		want := read[struct {
			Subsets, Estimable []int
			Max                []float64 `json:"max_det"`
			Reach              []int     `json:"reach_max"`
		}](t, c.Expected)
		for i, n := range in.N {
			var subsets, estimable, reach int
			most := 0.0
			for set := range 1 << 8 {
				var cells [][2]int
				for cell := range 8 {
					if set>>cell&1 == 1 {
						cells = append(cells, [2]int{cell / 2, cell % 2})
					}
				}
				if len(cells) != n {
					continue
				}
				subsets++
				d := determinant(cells)
				connected := len(studyOf(4, 2, cells).Groups()) == 1 && touchesAll(studyOf(4, 2, cells))
				require.Equal(t, connected, d > 0.5, "a design is estimable just when its graph is connected: %v", cells)
				if d > 0.5 {
					estimable++
				}
				switch {
				case d > most+1e-6:
					most, reach = d, 1
				case math.Abs(d-most) <= 1e-6 && d > 0.5:
					reach++
				}
			}
			require.Equal(t, []int{want.Subsets[i], want.Estimable[i], want.Reach[i]}, []int{subsets, estimable, reach})
			near(t, c, want.Max[i:i+1], []float64{most}, "determinant")
		}
	})
	run("doe-06-spanning-trees", func(t *testing.T, c check) {
		want := read[struct {
			Det []float64
			Log float64 `json:"log_det_24x2"`
		}](t, c.Expected)
		for i, ab := range read[struct{ Cases [][2]int }](t, c.Input).Cases {
			d := determinant(grid(ab[0], ab[1]))
			near(t, c, []float64{want.Det[i], want.Det[i]}, []float64{d, math.Pow(float64(ab[0]), float64(ab[1]-1)) * math.Pow(float64(ab[1]), float64(ab[0]-1))}, "trees")
		}
		near(t, c, []float64{want.Log}, []float64{math.Log(determinant(grid(24, 2)))}, "logarithm")
	})
	run("doe-07-d-efficiency", func(t *testing.T, c check) {
		want := read[struct {
			Det []float64
			Eff []float64 `json:"d_eff"`
			Var []float64 `json:"var_slotB"`
		}](t, c.Expected)
		var one [][2]int
		for a := range 10 {
			one = append(one, [2]int{a, 0})
		}
		one = append(one, [2]int{0, 1})
		three := append(slices.Clone(one), [2]int{1, 1}, [2]int{2, 1}, [2]int{3, 1})
		var det, eff, variance []float64
		for _, cells := range [][][2]int{one, three, grid(10, 2)} {
			d := determinant(cells)
			_, cov, _ := least(coded(cells), make([]float64, len(cells)))
			det, eff, variance = append(det, d), append(eff, math.Pow(d, 1.0/11)/float64(len(cells))), append(variance, cov.at(10, 10))
		}
		near(t, c, want.Det, det, "determinant")
		near(t, c, want.Eff, eff, "efficiency")
		near(t, c, want.Var, variance, "variance")
	})
	run("doe-08-three-factor-trap", func(t *testing.T, c check) {
		in := read[struct {
			Tastings [][3]int `json:"tastings_segment_a_b"`
		}](t, c.Input)
		want := read[struct {
			Rank   int
			Needed int  `json:"rank_needed"`
			All    bool `json:"all_graphs_connected"`
		}](t, c.Expected)
		segments := make([]int, len(in.Tastings))
		a, b := slices.Clone(segments), slices.Clone(segments)
		for i, s := range in.Tastings {
			segments[i], a[i], b[i] = s[0], s[1], s[2]
		}
		require.Equal(t, want.Rank, rank(treatment(len(a), segments, a, b)))
		require.Equal(t, want.Needed, len(treatment(len(a), segments, a, b)[0]))
		for _, two := range [3][2][]int{{segments, a}, {segments, b}, {a, b}} {
			var cells [][2]int
			for i := range a {
				cells = append(cells, [2]int{two[0][i], two[1][i]})
			}
			require.Equal(t, want.All, len(studyOf(3, 3, cells).Groups()) == 1)
		}
	})
	run("doe-09-benchmark-theorem", func(t *testing.T, c check) {
		want := read[map[string]int](t, c.Expected)["violations"]
		seeds := &Seeds{9}
		var designs, whole, violations int
		for designs < 2000 {
			na, nb, ns := 2+int(seeds.Below(4)), 2+int(seeds.Below(2)), 1+int(seeds.Below(4))
			var cells [][2]int
			var segment []int
			for s := range ns {
				cells, segment = append(cells, [2]int{0, 0}), append(segment, s)
				for range 1 + seeds.Below(3) {
					cells, segment = append(cells, [2]int{int(seeds.Below(uint64(na))), int(seeds.Below(uint64(nb)))}), append(segment, s)
				}
			}
			study := studyOf(na, nb, cells)
			if !touchesAll(study) {
				continue
			}
			designs++
			a, b := make([]int, len(cells)), make([]int, len(cells))
			for i, x := range cells {
				a[i], b[i] = x[0], x[1]
			}
			connected := len(study.Groups()) == 1
			full := rank(treatment(len(cells), segment, a, b)) == ns+na+nb-2
			if connected != full {
				violations++
			}
			if full {
				whole++
			}
		}
		require.Equal(t, want, violations)
		require.Greater(t, whole, 100)
		require.Greater(t, designs-whole, 100)
	})

	run("plan-01-expected-improvement", func(t *testing.T, c check) {
		in := read[struct {
			Cases []struct {
				Mu, S float64
				Nu    int
			}
		}](t, c.Input)
		want := read[struct {
			Normal []float64 `json:"ei_normal"`
			Better []float64 `json:"p_better"`
		}](t, c.Expected)
		var normal, better []float64
		for _, x := range in.Cases {
			normal = append(normal, ExpectedGain(x.Mu, x.S))
			better = append(better, Difference{Mean: x.Mu, SD: x.S, Degrees: x.Nu}.Better())
		}
		near(t, c, want.Normal, normal, "normal")
		near(t, c, want.Better, better, "better")
	})
	run("plan-03-splitmix64", func(t *testing.T, c check) {
		want := read[map[string][]string](t, c.Expected)
		require.Len(t, want, 2)
		for name, numbers := range want {
			seed, err := strconv.ParseUint(strings.TrimPrefix(name, "out_"), 10, 64)
			require.NoError(t, err)
			s := &Seeds{seed}
			for _, n := range numbers {
				require.Equal(t, n, strconv.FormatUint(s.Next(), 10))
			}
		}
	})
	run("plan-04-shuffle-codes", func(t *testing.T, c check) {
		in := read[struct {
			Seed    uint64
			Shuffle int `json:"n_shuffle"`
			Codes   int `json:"n_codes"`
		}](t, c.Input)
		want := read[struct {
			Order, Codes []int
			Distinct     int `json:"codes_with_distinct_digits"`
		}](t, c.Expected)
		s := &Seeds{in.Seed}
		require.Equal(t, want.Order, s.Shuffled(in.Shuffle))
		require.Equal(t, want.Codes, s.Codes(in.Codes, nil))
		distinct := 0
		for code := 100; code < 1000; code++ {
			if a, b, c := code/100, code/10%10, code%10; a != b && b != c && a != c {
				distinct++
			}
		}
		require.Equal(t, want.Distinct, distinct)
	})
	run("plan-05-alcohol-budget", func(t *testing.T, c check) {
		in := read[struct {
			Limit float64 `json:"budget_g"`
		}](t, c.Input)
		want := read[struct {
			P30 int `json:"pours_30ml"`
			P20 int `json:"pours_20ml"`
			P15 int `json:"pours_15ml"`
		}](t, c.Expected)
		// The grams of its pours are held in journal/ethanol (TestComparisonChecks).
		// A flight of so many glasses fits, and of one more it does not.
		for ml, n := range map[float64]int{30: want.P30, 20: want.P20, 15: want.P15} {
			flight := func(n int) (out []float64) {
				for range n {
					out = append(out, ml*26/100*0.78924)
				}
				return out
			}
			_, fits := Fits(0, flight(n), in.Limit)
			require.True(t, fits)
			_, fits = Fits(0, flight(n+1), in.Limit)
			require.False(t, fits)
		}
	})
	run("plan-06-greedy-flight", func(t *testing.T, c check) {
		want := read[struct {
			Leader      []string
			Apart       float64 `json:"leader_minus_benchmark"`
			EI          [][3]any
			DOpt        [][3]any
			LeaderFirst [][3]any `json:"leader_first"`
		}](t, c.Expected)
		f := fitted(t, fixture(t, anchors, Sighted))
		seats, err := f.Plan(Asked{Glasses: 5, Flights: 5, Seed: 1})
		require.NoError(t, err)
		require.Equal(t, f.Study.Benchmark, seats[0].Pairing)
		require.Equal(t, want.Leader, called(seats[1].Pairing))
		near(t, c, []float64{want.Apart}, []float64{f.Against(seats[1].Pairing).Mean}, "leader")
		require.Len(t, seats, 1+len(want.LeaderFirst))
		for i, w := range want.LeaderFirst {
			require.Equal(t, []string{w[0].(string), w[1].(string)}, called(seats[1+i].Pairing))
			if gain, ok := w[2].(float64); ok {
				near(t, c, []float64{gain}, []float64{seats[1+i].Gain}, "gain")
			}
		}
		// The two rules by themselves.
		alone := func(why Reason, gain func(p *planning) func(Pairing) float64, wants [][3]any) {
			p := f.planning(1)
			p.take(f.Study.Benchmark, ForBenchmark, 0)
			for range wants {
				require.True(t, p.best(everyPairing(f), why, gain(p)))
			}
			for i, w := range wants {
				require.Equal(t, []string{w[0].(string), w[1].(string)}, called(p.seats[1+i].Pairing))
				near(t, c, []float64{w[2].(float64)}, []float64{p.seats[1+i].Gain}, string(why))
			}
		}
		alone(ForPromise, func(p *planning) func(Pairing) float64 {
			return func(it Pairing) float64 { return p.promise(it, named(t, "L01", "D2")) }
		}, want.EI)
		alone(ForPromise, func(p *planning) func(Pairing) float64 { return p.settles }, want.DOpt)
	})

	run("val-02-pareto", func(t *testing.T, c check) {
		in := read[struct {
			Points []struct {
				Name         string
				Price, Score float64
			}
		}](t, c.Input)
		var all []Priced
		for _, p := range in.Points {
			all = append(all, Priced{p.Price, p.Score})
		}
		var got []string
		for _, i := range Front(all, 0) {
			got = append(got, in.Points[i].Name)
		}
		require.Equal(t, read[struct{ Front []string }](t, c.Expected).Front, got)
	})
	run("int-01-wilson", func(t *testing.T, c check) {
		want := read[struct{ Lo, Hi []float64 }](t, c.Expected)
		var lo, hi []float64
		for _, x := range read[struct {
			XN [][2]int `json:"x_n"`
		}](t, c.Input).XN {
			l, h := Wilson(x[0], x[1])
			lo, hi = append(lo, l), append(hi, h)
		}
		near(t, c, want.Lo, lo, "low")
		near(t, c, want.Hi, hi, "high")
	})

	// The price of a glass is reckoned, and held, in journal/bottles (TestComparisonChecks).
	done["val-01-price-per-drink"] = true
	for id := range all {
		require.True(t, done[id], "no test for %s", id)
	}
}

// balanced gives blocks, repeats and meetings of a balanced incomplete block design of v things in blocks of k by its
// identities; nil when they cannot hold.
func balanced(v, k, lambda int) []int {
	if lambda*(v-1)%(k-1) != 0 {
		return nil
	}
	r := lambda * (v - 1) / (k - 1)
	if v*r%k != 0 || v*r/k < v {
		return nil
	}
	return []int{v * r / k, r, lambda}
}

func grid(a, b int) (cells [][2]int) {
	for i := range a {
		for j := range b {
			cells = append(cells, [2]int{i, j})
		}
	}
	return cells
}

func coded(cells [][2]int) [][]float64 {
	a, b := make([]int, len(cells)), make([]int, len(cells))
	for i, c := range cells {
		a[i], b[i] = c[0], c[1]
	}
	return treatment(len(cells), a, b)
}

// determinant of XᵀX of an additive design with every candidate in it; 0 when it cannot be estimated.
func determinant(cells [][2]int) float64 {
	x := coded(cells)
	p := len(x[0])
	m := newSquare(p)
	for _, row := range x {
		for j, a := range row {
			for k, c := range row {
				m.a[j*p+k] += a * c
			}
		}
	}
	if rank(x) < p || p < 5 {
		return 0
	}
	m.factor()
	return math.Exp(m.logDet())
}

// rank by elimination.
func rank(x [][]float64) int {
	m := make([][]float64, len(x))
	for i := range x {
		m[i] = slices.Clone(x[i])
	}
	r := 0
	for col := range m[0] {
		at := -1
		for i := r; i < len(m); i++ {
			if math.Abs(m[i][col]) > 1e-9 {
				at = i
				break
			}
		}
		if at < 0 {
			continue
		}
		m[r], m[at] = m[at], m[r]
		for i := r + 1; i < len(m); i++ {
			f := m[i][col] / m[r][col]
			for k := range m[i] {
				m[i][k] -= f * m[r][k]
			}
		}
		r++
	}
	return r
}

func studyOf(a, b int, cells [][2]int) Study {
	s := Study{Slots: []Slot{{Candidates: a}, {Candidates: b}}}
	for _, c := range cells {
		s.Tastings = append(s.Tastings, Tasting{Pairing: Pairing{int16(c[0]), int16(c[1])}})
	}
	return s
}

func touchesAll(s Study) bool {
	n := 0
	for _, g := range s.Groups() {
		n += len(g)
	}
	return n == s.Slots[0].Candidates+s.Slots[1].Candidates
}
