package line_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/journal"
	"fairmeasure/journal/line"
	"fairmeasure/journal/unit"
	"fairmeasure/testdata"
)

type row struct{ id, op, input, expected, tolerance string }

func cases(t *testing.T) map[string]row {
	t.Helper()
	rows := map[string]row{}
	for _, r := range testdata.Rows(t, "cases/cases.csv") {
		rows[r["id"]] = row{r["id"], r["op"], r["input"], r["expected"], r["tolerance"]}
	}
	return rows
}

func decode[T any](t *testing.T, text string) T {
	t.Helper()
	var v T
	require.NoError(t, json.Unmarshal([]byte(text), &v))
	return v
}

func read1(t *testing.T, text string, opt line.Options) line.Line {
	t.Helper()
	lines, err := line.Read(text, opt)
	require.NoError(t, err)
	require.Len(t, lines, 1)
	return lines[0]
}

func refusal(t *testing.T, err error) *journal.Refusal {
	t.Helper()
	var r *journal.Refusal
	require.True(t, errors.As(err, &r), "expected a refusal, got %v", err)
	return r
}

// TestCases runs the rows C001 to C015 and C021 to C037 of testdata/cases/cases.csv, whose column "source"
// names the standard or practice each rests on.
func TestCases(t *testing.T) {
	rows := cases(t)
	run := func(from, to int, check func(t *testing.T, r row)) {
		for n := from; n <= to; n++ {
			id := fmt.Sprintf("C%03d", n)
			t.Run(id, func(t *testing.T) {
				r, ok := rows[id]
				require.True(t, ok, "no row %s", id)
				check(t, r)
			})
		}
	}
	run(1, 7, checkConvert)
	run(8, 9, checkProof)
	run(10, 11, checkParts)
	run(12, 12, checkSplitBase)
	run(13, 13, checkScale)
	run(14, 14, checkDisplay)
	run(15, 15, checkToggle)
	run(21, 37, checkParse)
}

func checkConvert(t *testing.T, r row) {
	require.Equal(t, "convert", r.op)
	in := decode[struct {
		Value  float64 `json:"value"`
		From   string  `json:"from"`
		BarOz  float64 `json:"bar_oz_ml"`
		DashML float64 `json:"dash_ml"`
		Spoon  float64 `json:"barspoon_ml"`
	}](t, r.input)
	want := decode[struct {
		ML       float64  `json:"ml"`
		Less     *float64 `json:"less_than_us_percent"`
		Estimate bool     `json:"estimate"`
	}](t, r.expected)

	kinds := map[string]line.OunceKind{"us_floz": line.US, "imp_floz": line.Imperial, "bar_oz": line.Bar}
	opt, word := line.Options{DashUL: unit.Millilitres(in.DashML), BarspoonUL: unit.Millilitres(in.Spoon)}, in.From
	if kind, ok := kinds[in.From]; ok {
		opt.OunceKind, word = kind, "oz"
	}
	if in.BarOz != 0 {
		require.Equal(t, 30.0, in.BarOz)
	}
	typed := strconv.FormatFloat(in.Value, 'f', -1, 64) + " " + word + " gin"
	l := read1(t, typed, opt)
	require.True(t, l.Volume.Known)
	got := l.Volume.Value.Value.ML()
	tolerance := 0.01
	if in.From == "bar_oz" || in.From == "cl" || in.From == "barspoon" { // rows marked exact
		tolerance = 0
	}
	require.InDelta(t, want.ML, got, tolerance)
	require.Equal(t, want.Estimate, l.Estimate)
	if want.Estimate {
		require.Less(t, l.Volume.Value.Low, l.Volume.Value.Value)
		require.Greater(t, l.Volume.Value.High, l.Volume.Value.Value)
	}
	if want.Less != nil {
		us := read1(t, typed, line.Options{OunceKind: line.US}).Volume.Value.Value.ML()
		require.InDelta(t, *want.Less, 100*(1-got/us), 0.1)
	}
}

func checkParts(t *testing.T, r row) {
	require.Equal(t, "parts", r.op)
	in := decode[struct {
		Parts map[string]float64 `json:"parts"`
		Fill  *float64           `json:"fill_ml"`
		Part  *float64           `json:"part_ml"`
	}](t, r.input)
	want := decode[struct {
		ML    map[string]float64 `json:"ml"`
		Error string             `json:"error"`
	}](t, r.expected)
	var lines []line.Line
	for name, n := range in.Parts {
		lines = append(lines, read1(t, fmt.Sprintf("%v parts %s", n, name), line.Options{}))
		require.False(t, lines[len(lines)-1].Volume.Known, "a part has no size of its own")
	}
	var size line.Parts
	if in.Fill != nil {
		size.TotalUL = unit.Millilitres(*in.Fill)
	}
	if in.Part != nil {
		size.PartUL = unit.Millilitres(*in.Part)
	}
	out, err := line.Resolve(lines, size)
	if want.Error != "" {
		require.Equal(t, "needs_total_or_part", refusal(t, err).Code)
		require.Contains(t, err.Error(), want.Error)
		return
	}
	require.NoError(t, err)
	require.Len(t, out, len(want.ML))
	for _, l := range out {
		require.InDelta(t, want.ML[l.Name], l.Volume.Value.Value.ML(), 0.01, l.Name)
	}
}

func checkSplitBase(t *testing.T, r row) {
	require.Equal(t, "split_base", r.op)
	in := decode[struct {
		Total float64            `json:"base_total_ml"`
		Split map[string]float64 `json:"split"`
	}](t, r.input)
	want := decode[struct {
		ML  map[string]float64 `json:"ml"`
		ABV float64            `json:"base_abv"`
	}](t, r.expected)
	var lines []line.Line
	var names []string
	for name, n := range in.Split {
		lines, names = append(lines, read1(t, fmt.Sprintf("%v part %s", n, name), line.Options{})), append(names, name)
	}
	out, err := line.Resolve(lines, line.Parts{TotalUL: unit.Millilitres(in.Total)})
	require.NoError(t, err)
	require.Len(t, out, len(want.ML))
	var total, alcohol float64
	for i, l := range out {
		require.InDelta(t, want.ML[names[i]], l.Volume.Value.Value.ML(), 0.05)
		require.True(t, l.Strength.Known)
		total += l.Volume.Value.Value.ML()
		alcohol += l.Volume.Value.Value.ML() * l.Strength.Value.Percent()
	}
	require.InDelta(t, in.Total, total, 0)
	require.InDelta(t, want.ABV, alcohol/total, 0.05)
}

func checkProof(t *testing.T, r row) {
	require.Equal(t, "strength", r.op)
	in := decode[struct {
		Value float64
		Scale string
	}](t, r.input)
	want := decode[struct{ ABV float64 }](t, r.expected)
	proof, ok := map[string]string{"us_proof": "proof", "uk_proof_sikes": "uk proof"}[in.Scale]
	require.True(t, ok)
	within, err := strconv.ParseFloat(r.tolerance, 64)
	require.NoError(t, err)
	require.InDelta(t, want.ABV, strength(t, fmt.Sprint(in.Value, " ", proof)), within)
}

// checkScale makes a drink smaller by the size of a part: the exact volume is kept, and rounding is for display only.
func checkScale(t *testing.T, r row) {
	require.Equal(t, "scale", r.op)
	in := decode[struct {
		ML     []float64 `json:"ml"`
		Factor float64   `json:"factor"`
		Step   float64   `json:"display_step_ml"`
	}](t, r.input)
	want := decode[struct {
		Exact   []float64 `json:"exact_ml"`
		Display []float64 `json:"display_ml"`
	}](t, r.expected)
	require.Equal(t, 0.5, in.Step, "the step Amount shows from 10 ml up")
	var lines []line.Line
	for _, ml := range in.ML {
		lines = append(lines, read1(t, fmt.Sprintf("%v parts gin", ml), line.Options{}))
	}
	out, err := line.Resolve(lines, line.Parts{PartUL: unit.Millilitres(in.Factor)})
	require.NoError(t, err)
	for i, l := range out {
		require.InDelta(t, want.Exact[i], l.Volume.Value.Value.ML(), 0)
		require.Equal(t, fmt.Sprintf("%v ml", want.Display[i]), line.Amount(l.Volume.Value.Value, line.Millilitre, line.Bar))
	}
}

func checkDisplay(t *testing.T, r row) {
	require.Equal(t, "display", r.op)
	in := decode[struct {
		ML float64 `json:"ml"`
		As string  `json:"as"`
	}](t, r.input)
	want := decode[struct{ Text string }](t, r.expected)
	require.Equal(t, want.Text, line.Amount(unit.Millilitres(in.ML), line.Unit(in.As), line.Bar))
}

// checkToggle: what was typed is kept, and what is shown in another unit is derived from the volume each time.
func checkToggle(t *testing.T, r row) {
	require.Equal(t, "unit_toggle", r.op)
	in := decode[struct {
		Entered string   `json:"entered"`
		Toggles []string `json:"toggles"`
	}](t, r.input)
	want := decode[struct {
		After  string `json:"text_after"`
		Stored string `json:"stored_entered"`
	}](t, r.expected)
	l := read1(t, in.Entered+" gin", line.Options{})
	text := ""
	for _, as := range in.Toggles {
		text = line.Amount(l.Volume.Value.Value, line.Unit(as), line.Bar)
	}
	require.Equal(t, want.After, text)
	require.Equal(t, want.Stored+" gin", l.Typed)
}

type wanted struct {
	Qty     *float64 `json:"qty"`
	Low     *float64 `json:"qty_low"`
	High    *float64 `json:"qty_high"`
	Unit    string   `json:"unit"`
	Name    string   `json:"name"`
	Form    string   `json:"form"`
	Note    string   `json:"note"`
	Assumed []string `json:"assumed"`
	Open    bool     `json:"open_amount"`
	Counted string   `json:"counted"`
	ML      *float64 `json:"ml"`
	Est     *float64 `json:"est_ml"`
	EstLow  *float64 `json:"est_low_ml"`
	EstHigh *float64 `json:"est_high_ml"`
	Lines   []wanted `json:"lines"`
}

func checkParse(t *testing.T, r row) {
	require.Equal(t, "parse_line", r.op)
	in := decode[struct{ Line string }](t, r.input)
	want := decode[wanted](t, r.expected)
	lines, err := line.Read(in.Line, line.Options{})
	require.NoError(t, err)
	wants := want.Lines
	if wants == nil {
		wants = []wanted{want}
		require.Equal(t, in.Line, lines[0].Typed)
	}
	require.Len(t, lines, len(wants))
	for i, w := range wants {
		l := lines[i]
		if w.Low != nil {
			w.Qty = w.Low
		}
		require.Equal(t, w.Qty != nil, l.Qty.Known)
		if w.Qty != nil {
			require.Equal(t, int64(math.Round(*w.Qty*1e6)), int64(l.Qty.Value))
		}
		require.Equal(t, w.High != nil, l.QtyHigh.Known)
		if w.High != nil {
			require.Equal(t, int64(math.Round(*w.High*1e6)), int64(l.QtyHigh.Value))
		}
		require.Equal(t, w.Unit, string(l.Unit))
		require.Equal(t, w.Name, l.Name)
		require.Equal(t, w.Form, l.Form)
		require.Equal(t, w.Note, l.Note)
		require.False(t, l.Strength.Known)
		for _, a := range w.Assumed {
			require.True(t, slices.Contains(l.Assumed, a), a)
		}
		if w.Open {
			require.NotEqual(t, journal.Measured, l.Open)
			require.False(t, l.Volume.Known, "an open amount stays open")
		}
		if w.Counted == "residual" {
			require.Equal(t, journal.Rinse, l.Open)
			require.Equal(t, unit.Band[unit.Volume]{Value: 2500, Low: 1000, High: 5000}, l.Volume.Value)
		}
		if w.ML != nil {
			require.Equal(t, unit.Exact(unit.Millilitres(*w.ML)), l.Volume.Value)
		}
		if w.Est != nil {
			require.True(t, l.Estimate)
			require.Equal(t, unit.Band[unit.Volume]{Value: unit.Millilitres(*w.Est), Low: unit.Millilitres(*w.EstLow), High: unit.Millilitres(*w.EstHigh)}, l.Volume.Value)
		}
	}
}

// TestUnitTable compares the sizes in the core with testdata/reference/units.csv, through typed lines.
func TestUnitTable(t *testing.T) {
	rows, unitColumn := testdata.Held(t, "journal/line", "reference/units.csv")
	ml := func(t *testing.T, s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return v
	}
	type typing struct {
		typed string
		kind  line.OunceKind
		band  bool // the row's band is the line's too
	}
	for _, r := range rows {
		t.Run(r[unitColumn], func(t *testing.T) {
			switch r[unitColumn] {
			case "sugar cube":
				l := read1(t, "1 sugar cube", line.Options{})
				require.False(t, l.Volume.Known, "a mass: its volume is unknown, not nothing")
				require.False(t, l.Dry())
				return
			case "US proof":
				require.InDelta(t, 50, strength(t, "100 proof"), 0, r["definition_or_note"])
				return
			case "UK proof (Sikes)":
				require.InDelta(t, 57.145, strength(t, "100 uk proof"), 0.0051, r["definition_or_note"])
				require.InDelta(t, 40, strength(t, "70 uk proof"), 0.011, "4 in 7")
				return
			}
			c, ok := map[string]typing{
				"US fluid ounce":           {"100 oz x", line.US, true},
				"imperial fluid ounce":     {"100 oz x", line.Imperial, true},
				"US labelling fluid ounce": {"100 oz x", line.Bar, false}, // not a unit of ours: the bar's ounce is as large
				"bar ounce":                {"100 oz x", line.Bar, false}, // a chosen 30 ml is meant exactly
				"millilitre":               {"100 ml x", line.Bar, true},
				"centilitre":               {"100 cl x", line.Bar, true},
				"US gallon":                {"128 oz x", line.US, true},
				"US teaspoon":              {"100 tsp x", line.US, true},
				"metric teaspoon":          {"100 tsp x", line.Bar, true},
				"US tablespoon":            {"100 tbsp x", line.US, true},
				"metric tablespoon":        {"100 tbsp x", line.Imperial, true},
				"US cup":                   {"10 cups x", line.US, true},
				"metric cup":               {"10 cups x", line.Bar, false}, // the line's band also takes in the American cup
				"dash":                     {"100 dashes x", line.Bar, true},
				"dash, nominal 1/32 oz":    {"3.125 oz x", line.US, true},
				"drop":                     {"100 drops x", line.Bar, true},
				"barspoon":                 {"100 barspoons x", line.Bar, true},
				"splash":                   {"100 splashes x", line.Bar, true},
				"rinse":                    {"rinse: x", line.Bar, true},
				"pony":                     {"100 ponies x", line.US, true},
				"jigger (US)":              {"100 jiggers x", line.US, true},
				"double jigger large side": {"2 oz x", line.US, false}, // a measure that is not asked for by name
				"UK single measure":        {"100 measures x", line.Bar, true},
				"shot (EU)":                {"100 shots x", line.Bar, true},
				"egg white, one large":     {"100 egg whites", line.Bar, true},
			}[r[unitColumn]]
			require.True(t, ok)
			l := read1(t, c.typed, line.Options{OunceKind: c.kind})
			n := 1.0
			if l.Qty.Known {
				n = float64(l.Qty.Value) / 1e6
			}
			switch r[unitColumn] { // sizes that are typed as so many of another unit
			case "US gallon", "double jigger large side":
				n = 1
			case "dash, nominal 1/32 oz":
				n = 100
			}
			require.InDelta(t, n*ml(t, r["ml"]), l.Volume.Value.Value.ML(), 0.001, r["definition_or_note"]+", "+r["marking"])
			if c.band {
				require.InDelta(t, n*ml(t, r["low_ml"]), l.Volume.Value.Low.ML(), 0.001)
				require.InDelta(t, n*ml(t, r["high_ml"]), l.Volume.Value.High.ML(), 0.001)
			}
			estimate := map[string]bool{
				"dash": true, "drop": true, "barspoon": true, "splash": true, "rinse": true, "pony": true, "jigger (US)": true, "US cup": true,
				"metric cup": true, "UK single measure": true, "shot (EU)": true, "egg white, one large": true,
			}
			require.Equal(t, estimate[r[unitColumn]], l.Estimate)
		})
	}
}

// strength reads a strength as it stands on a bottle, in % vol.
func strength(t *testing.T, typed string) float64 {
	t.Helper()
	l := read1(t, "45 ml rum, "+typed, line.Options{})
	require.True(t, l.Strength.Known)
	return l.Strength.Value.Percent()
}

// TestUnitChecks holds CH20, CH21 and CH43 to CH45: the proofs and the ounces.
func TestUnitChecks(t *testing.T) {
	rows, id := testdata.Held(t, "journal/line", "reference/chemistry_checks.csv")
	for _, row := range rows {
		t.Run(row[id], func(t *testing.T) {
			want, err := strconv.ParseFloat(row["expected"], 64)
			require.NoError(t, err)
			within, err := strconv.ParseFloat(row["tolerance"], 64)
			require.NoError(t, err)
			switch row["quantity"] {
			case "abv_from_uk_sikes_proof":
				require.InDelta(t, want, strength(t, strings.TrimPrefix(strings.TrimSuffix(row["inputs"], ";t_C=20"), "degrees=")+" uk proof"), within, row["source"])
				return
			case "us_proof_from_abv":
				require.Equal(t, "vol_pct=43", row["inputs"])
				require.InDelta(t, 43, strength(t, row["expected"]+" proof"), within)
				return
			}
			typed, ok := map[string]struct {
				typed string
				kind  line.OunceKind
				of    float64 // so many of it, as a volume has whole microlitres
			}{
				"1 fl oz (US)":    {"100 oz x", line.US, 100},
				"1 fl oz (imp)":   {"100 oz x", line.Imperial, 100},
				"1/32 fl oz (US)": {"3.125 oz x", line.US, 100},
			}[row["inputs"]]
			require.True(t, ok, row["inputs"])
			l := read1(t, typed.typed, line.Options{OunceKind: typed.kind})
			require.InDelta(t, want, l.Volume.Value.Value.ML()/typed.of, within, row["source"]+", "+row["marking"])
		})
	}
}
