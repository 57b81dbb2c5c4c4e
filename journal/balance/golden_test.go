package balance_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/journal"
	"fairmeasure/journal/balance"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/unit"
	"fairmeasure/testdata"
)

var write = flag.Bool("write", false, "write the figures of testdata/cases/balance_golden.json anew from its inputs")

// goldenCase is a drink and its rounded figures. A band is [value, low, high] in the stored unit; null is unknown.
type goldenCase struct {
	ID      string       `json:"id"`
	Method  string       `json:"method"`
	WaterUL *int64       `json:"water_ul"`
	Parts   []goldenPart `json:"parts"`
	Want    []string     `json:"want"`
}

type goldenPart struct {
	Name       string    `json:"name"`
	Open       string    `json:"open"`
	VolumeUL   *[3]int64 `json:"volume_ul"`
	StrengthBP *[3]int64 `json:"strength_bp"`
	SugarMGL   *[3]int64 `json:"sugar_mgl"`
	AcidMGL    *[3]int64 `json:"acid_mgl"`
}

func maybe[T ~int64](b *[3]int64) unit.Maybe[unit.Band[T]] {
	if b == nil {
		return unit.Maybe[unit.Band[T]]{}
	}
	return band(T(b[0]), T(b[1]), T(b[2]))
}

func (c goldenCase) result(t *testing.T) balance.Result {
	t.Helper()
	m := journal.Made{Method: journal.Method(c.Method)}
	for _, p := range c.Parts {
		m.Parts = append(m.Parts, journal.Part{
			Name: p.Name, Open: journal.Open(p.Open), Volume: maybe[unit.Volume](p.VolumeUL),
			Content: journal.Content{
				Strength: maybe[unit.Strength](p.StrengthBP), Sugar: maybe[unit.Concentration](p.SugarMGL), Acid: maybe[unit.Concentration](p.AcidMGL),
			},
		})
	}
	var water dilution.Water
	if c.WaterUL != nil {
		water = poured(t, unit.Volume(*c.WaterUL).ML())
	}
	return balance.Of(m, water).Rounded()
}

// shown writes a figure as the golden file does.
func shown(name string, f balance.Figure) string {
	n := func(x float64) string { return fmt.Sprintf("%.*f", f.Decimals, x) }
	switch {
	case f.Known:
		return fmt.Sprintf("%s: %s (%s to %s)", name, n(f.Value), n(f.Low), n(f.High))
	case f.AtLeast:
		return fmt.Sprintf("%s: at least %s (%s to %s)", name, n(f.Value), n(f.Low), n(f.High))
	case f.Between:
		return fmt.Sprintf("%s: %s to %s", name, n(f.Low), n(f.High))
	}
	return name + ": unknown"
}

func figures(r balance.Result) []string {
	out := []string{
		shown("water_ml", r.Dilution.Water), shown("water_percent_of_start", r.Dilution.OfStart), shown("water_percent_of_final", r.Dilution.OfFinal),
		strings.TrimSpace(fmt.Sprintf("basis: %s %s", r.Dilution.Basis, r.Dilution.Row)),
		shown("alcohol_g", r.AlcoholGrams(789).Rounded()), shown("coldest_c", r.Coldest),
	}
	for _, side := range []struct {
		name string
		f    balance.Figures
	}{{"before", r.Before}, {"after", r.After}} {
		out = append(out,
			shown(side.name+"_volume_ml", side.f.Volume), shown(side.name+"_abv_percent", side.f.Strength), shown(side.name+"_ethanol_ml", side.f.Ethanol),
			shown(side.name+"_sugar_g_per_100ml", side.f.Sugar), shown(side.name+"_acid_percent", side.f.Acid),
			shown(side.name+"_sugar_g", side.f.SugarGrams), shown(side.name+"_acid_g", side.f.AcidGrams), shown(side.name+"_sugar_to_acid", side.f.SugarToAcid))
	}
	out = append(out, fmt.Sprintf("against: %s (%s): volume %q, strength %q, sugar %q, acid %q, dilution %q", r.Ranges.Row, r.Ranges.Source,
		r.Verdicts.Volume, r.Verdicts.Strength, r.Verdicts.Sugar, r.Verdicts.Acid, r.Verdicts.Dilution))
	for _, remark := range codes(r) {
		out = append(out, "remark: "+remark)
	}
	return out
}

// TestGolden holds rounded results that every processor and the browser must give alike. It guards sameness; that they
// are right is for the checks against published figures.
func TestGolden(t *testing.T) {
	raw, err := testdata.Files.ReadFile("cases/balance_golden.json")
	require.NoError(t, err)
	var cases []goldenCase
	require.NoError(t, json.Unmarshal(raw, &cases))
	require.NotEmpty(t, cases)
	if *write {
		writeGolden(t, cases)
	}
	for _, c := range cases {
		t.Run(c.ID, func(t *testing.T) { require.Equal(t, c.Want, figures(c.result(t))) })
	}
}

func writeGolden(t *testing.T, cases []goldenCase) {
	t.Helper()
	compact := func(v any) string {
		var b bytes.Buffer
		e := json.NewEncoder(&b)
		e.SetEscapeHTML(false)
		require.NoError(t, e.Encode(v))
		return strings.TrimSpace(b.String())
	}
	list := func(b *bytes.Buffer, name string, items []string) {
		fmt.Fprintf(b, "  %q: [\n    %s\n  ]", name, strings.Join(items, ",\n    "))
	}
	var out bytes.Buffer
	for i := range cases {
		c := &cases[i]
		c.Want = figures(c.result(t))
		var parts, want []string
		for _, p := range c.Parts {
			parts = append(parts, compact(p))
		}
		for _, w := range c.Want {
			want = append(want, compact(w))
		}
		fmt.Fprintf(&out, "%s{\n  \"id\": %s, \"method\": %s, \"water_ul\": %s,\n", map[bool]string{true: "[", false: ", "}[i == 0],
			compact(c.ID), compact(c.Method), compact(c.WaterUL))
		list(&out, "parts", parts)
		out.WriteString(",\n")
		list(&out, "want", want)
		out.WriteString("\n}\n")
	}
	out.WriteString("]\n")
	require.NoError(t, os.WriteFile("../../testdata/cases/balance_golden.json", out.Bytes(), 0o644))
}
