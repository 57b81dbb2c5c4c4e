package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/testdata"
)

func runCheck(t *testing.T, stdin string, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, errs bytes.Buffer
	code = run(context.Background(), append([]string{"check"}, args...), strings.NewReader(stdin), &out, &errs, func(string) string { return "" })
	return code, out.String(), errs.String()
}

const sour = "45 ml gin, 44 %\n\n# the sour part\n¾ oz lemon juice\n22,5 ml honey syrup\n2 dashes orange bitters\n"

func TestCheckPrintsATable(t *testing.T) {
	code, out, errs := runCheck(t, sour, "--method", "shaken")
	require.Equal(t, 0, code, errs)
	require.Empty(t, errs)
	require.Regexp(t, `strength, % vol\s+22\.3`, out)
	require.Contains(t, out, "published curve")
	require.Contains(t, out, "standard drinks: 1.6 of 10 g (WHO)")
	require.Contains(t, out, "estimate: orange bitters")
}

func TestCheckPrintsJSONWhoseKeysCarryTheirUnit(t *testing.T) {
	file := filepath.Join(t.TempDir(), "sour.txt")
	require.NoError(t, os.WriteFile(file, []byte(sour), 0o600))
	code, out, errs := runCheck(t, "", "--method", "shaken", "--json", "--country", "gb", file)
	require.Equal(t, 0, code, errs)
	var got struct {
		Before, After map[string]struct{ Value, Low, High *float64 }
		Basis         string
		Drinks        struct{ Value float64 } `json:"standard_drinks"`
		Unit          struct {
			Country string
			Grams   float64 `json:"alcohol_g"`
		} `json:"standard_drink"`
	}
	require.NoError(t, json.Unmarshal([]byte(out), &got))
	for _, figures := range []map[string]struct{ Value, Low, High *float64 }{got.Before, got.After} {
		for _, key := range []string{"volume_ml", "abv_percent", "alcohol_g", "sugar_g_per_100ml", "acid_percent"} {
			f := figures[key]
			require.NotNil(t, f.Value, key)
			require.LessOrEqual(t, *f.Low, *f.Value, key)
			require.GreaterOrEqual(t, *f.High, *f.Value, key)
		}
	}
	require.Equal(t, "curve", got.Basis)
	require.Equal(t, "GB", got.Unit.Country)
	require.InDelta(t, 7.89, got.Unit.Grams, 0.001)
	// 45 ml at 44 % and two dashes of 0.9 ml at 35 %: 20.43 ml of ethanol, in units of 10 ml.
	require.InDelta(t, 2.0, got.Drinks.Value, 0.001)
}

func TestCheckKeepsUnknownUnknown(t *testing.T) {
	code, out, errs := runCheck(t, "40 ml walnut thing\n20 ml gin, 40 %\n", "--method", "stirred", "--json")
	require.Equal(t, 0, code, errs)
	require.Contains(t, out, `"at_least": true`)
	code, out, errs = runCheck(t, "40 ml walnut thing\n20 ml gin, 40 %\n", "--method", "stirred")
	require.Equal(t, 0, code, errs)
	require.Contains(t, out, "standard drinks: at least 0.6")
}

// TestCheckSaysAtLeastEverywhere: the balance, the standard drinks and the table rest on one reckoning of the alcohol, so
// what one of them does not know none of them does. It holds C292.
func TestCheckSaysAtLeastEverywhere(t *testing.T) {
	row := testdata.Row(t, "cases/check_cases.csv", "id", "C292")
	var in struct{ Lines []string }
	require.NoError(t, json.Unmarshal([]byte(row["input"]), &in))
	var want struct {
		Drinks struct {
			AtLeast bool `json:"at_least"`
		} `json:"standard_drinks"`
	}
	require.NoError(t, json.Unmarshal([]byte(row["expected"]), &want))
	require.True(t, want.Drinks.AtLeast)
	for name, c := range map[string]struct {
		lines   []string
		atLeast bool
	}{
		"C292":                          {in.Lines, true},
		"a tincture to taste":           {[]string{"45 ml gin, 44 %", "zzyx tincture to taste"}, true},
		"gin to taste":                  {[]string{"45 ml gin, 44 %", "gin to taste"}, true},
		"a rinse of nobody knows":       {[]string{"45 ml gin, 44 %", "rinse: zzyx tincture"}, true},
		"a float":                       {[]string{"45 ml gin, 44 %", "float of dark rum"}, true},
		"parts without a size":          {[]string{"45 ml gin, 44 %", "1 part gin"}, true},
		"parts without alcohol":         {[]string{"45 ml gin, 44 %", "1 part lime juice"}, false},
		"a top without alcohol":         {[]string{"45 ml gin, 44 %", "top with soda"}, false},
		"a rinse":                       {[]string{"45 ml gin, 44 %", "rinse: absinthe, 60 %"}, false},
		"a range and a pinch, to taste": {[]string{"40-50 ml gin, 44 %", "a pinch of salt", "salt to taste"}, false},
	} {
		t.Run(name, func(t *testing.T) {
			typed := strings.Join(c.lines, "\n") + "\n"
			code, out, errs := runCheck(t, typed, "--method", "stirred", "--json", "--country", "AU")
			require.Equal(t, 0, code, errs)
			type figure struct {
				Value   float64 `json:"value"`
				AtLeast bool    `json:"at_least"`
			}
			var got struct {
				Before, After map[string]figure
				Drinks        figure `json:"standard_drinks"`
			}
			require.NoError(t, json.Unmarshal([]byte(out), &got))
			require.Equal(t, c.atLeast, got.Drinks.AtLeast)
			require.Equal(t, c.atLeast, got.Before["alcohol_g"].AtLeast)
			require.Equal(t, got.Before["alcohol_g"], got.After["alcohol_g"])
			require.InDelta(t, got.Before["alcohol_g"].Value/10, got.Drinks.Value, 0.055, "an Australian drink is 10 g")
			code, out, errs = runCheck(t, typed, "--method", "stirred", "--country", "AU")
			require.Equal(t, 0, code, errs)
			require.Equal(t, c.atLeast, strings.Contains(out, "standard drinks: at least"))
			require.Regexp(t, map[bool]string{true: `alcohol, g\s+at least `, false: `alcohol, g\s+[0-9]`}[c.atLeast], out)
		})
	}
}

func TestCheckRefuses(t *testing.T) {
	for _, c := range []struct {
		name, stdin string
		args        []string
		code        int
		says        string
	}{
		{"no method", sour, nil, 2, "expected --method, got none"},
		{"an unknown method", sour, []string{"--method", "waved"}, 2, `expected --method, got "waved"`},
		{"nothing", "\n# only a note\n", []string{"--method", "shaken"}, 2, "expected at least one line"},
		{"an unreadable line", "45 ml gin, 44 %\nsome gin\n", []string{"--method", "shaken"}, 1, "line 2: "},
		{"an unknown unit", "45 mll gin\n", []string{"--method", "shaken"}, 1, "mll"},
		{"a negative amount", "-45 ml gin\n", []string{"--method", "shaken"}, 1, "line 1: "},
		{"an absurd amount", "45000 ml gin\n", []string{"--method", "shaken"}, 1, "line 1: "},
		{"a strength above 100", "45 ml gin 140\n", []string{"--method", "shaken"}, 1, "proof"},
		{"a book", strings.Repeat("45 ml gin, 44 %\n", 10_000), []string{"--method", "shaken"}, 2, "one drink"},
		{"a missing file", "", []string{"--method", "shaken", "/nowhere/at/all"}, 2, "/nowhere/at/all"},
		{"no known country", sour, []string{"--method", "shaken", "--country", "XX"}, 2, "XX"},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, out, errs := runCheck(t, c.stdin, c.args...)
			require.Equal(t, c.code, code, errs)
			require.Contains(t, errs, c.says)
			require.Empty(t, out)
		})
	}
}

// TestPublishedRecipes types the six published recipes as a person would, with the strengths their table assumes, and
// expects its figures. Volumes: the IBA's list as publicly transcribed about 2012 to 2016; figures worked out from them
// with the regression of D. Arnold, Liquid Intelligence (W. W. Norton, 2014), p. 123, and typical sugar and acid.
func TestPublishedRecipes(t *testing.T) {
	rows := testdata.Rows(t, "cases/typed_recipes.csv")
	require.Len(t, rows, 6)
	for _, row := range rows {
		t.Run(row["drink"], func(t *testing.T) {
			code, out, errs := runCheck(t, strings.ReplaceAll(row["lines"], "; ", "\n"), "--method", row["method"], "--json")
			require.Equal(t, 0, code, errs)
			var got struct {
				Before, After map[string]struct{ Value *float64 }
			}
			require.NoError(t, json.Unmarshal([]byte(out), &got))
			for _, want := range []struct {
				figures map[string]struct{ Value *float64 }
				key     string
				column  string
				within  float64
			}{
				{got.Before, "volume_ml", "start_ml", 1}, {got.Before, "abv_percent", "start_abv_percent", 0.1}, {got.After, "volume_ml", "finished_ml", 1},
				{got.After, "abv_percent", "finished_abv_percent", 0.1}, {got.After, "sugar_g_per_100ml", "sugar_g_per_100ml", 0.1}, {got.After, "acid_percent", "acid_percent", 0.02},
			} {
				published, err := strconv.ParseFloat(row[want.column], 64)
				require.NoError(t, err)
				require.NotNil(t, want.figures[want.key].Value, want.key)
				require.InDelta(t, published, *want.figures[want.key].Value, want.within+1e-9, want.key)
			}
		})
	}
}
