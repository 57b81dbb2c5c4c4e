package main

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/server/auth"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
	"fairmeasure/sync/store"
	"fairmeasure/sync/store/badgerstore"
	"fairmeasure/testdata"
)

// stopped is the data of a server that is not running, and the moment it is asked at.
type stopped struct {
	t       *testing.T
	data    string
	journal store.Journal
	now     time.Time
}

// stoppedDemo gives data with the demo's journal, or an empty one.
func stoppedDemo(t *testing.T, seed bool) *stopped {
	s := &stopped{t: t, data: filepath.Join(t.TempDir(), "store"), now: time.Date(2026, 5, 15, 22, 4, 0, 0, time.FixedZone("", 2*3600))}
	ctx := context.Background()
	s.inside(func(st *badgerstore.Store) {
		door, err := auth.Open(ctx, auth.Config{Book: st, Now: func() time.Time { return s.now }, Owner: "Demo"})
		require.NoError(t, err)
		_, s.journal, err = door.Owner(ctx, "")
		require.NoError(t, err)
		n := 0
		if seed {
			require.NoError(t, seedDemo(ctx, st, s.journal, s.now, func(string) (string, error) { n++; return []string{"", "d1", "d2"}[n], nil }))
		}
	})
	return s
}

func (s *stopped) inside(fn func(*badgerstore.Store)) {
	s.t.Helper()
	st, err := badgerstore.Open(badgerstore.Options{Dir: s.data, MinFreeBytes: 1 << 20})
	require.NoError(s.t, err)
	fn(st)
	require.NoError(s.t, st.Close())
}

// device lets a further device read the journal, do something, and send it.
func (s *stopped) device(do func(*scribe)) {
	s.t.Helper()
	s.inside(func(st *badgerstore.Store) {
		d := newScribe(st, s.journal, "a third device", "d3")
		d.sync(context.Background(), s.now)
		do(d)
		d.sync(context.Background(), s.now)
		require.NoError(s.t, d.err)
	})
}

// asked is what that device answers, as the app on it would show it.
func (s *stopped) asked(question string) (answer string) {
	s.t.Helper()
	s.device(func(d *scribe) {
		raw, err := schema.Ask(d.device.View(), schema.Now{MS: s.now.UnixMilli(), OffsetMin: 120}, []byte(question))
		require.NoError(s.t, err)
		answer = string(raw)
	})
	return answer
}

func (s *stopped) compare(args ...string) string {
	s.t.Helper()
	code, out, errs := keeper(s.t, s.data, append([]string{"compare", "--now", s.now.Format(time.RFC3339)}, args...)...)
	require.Zero(s.t, code, errs)
	require.Empty(s.t, errs)
	return out
}

// compared finds a comparison by its name.
func (s *stopped) compared(name string) replica.ID {
	s.t.Helper()
	var all comparisonsAnswer
	require.NoError(s.t, json.Unmarshal([]byte(s.compare("--json")), &all))
	id, err := all.named(name)
	require.NoError(s.t, err)
	return replica.ID(id)
}

const demoQuestion = "Which gin, which pear"

// TestCompareOnTheTerminal holds `fairmeasure compare` against what a device works out from the same entries.
func TestCompareOnTheTerminal(t *testing.T) {
	s := stoppedDemo(t, true)
	id := s.compared(demoQuestion)
	question := `{"q":"comparison","id":"` + string(id) + `"}`

	t.Run("JSON", func(t *testing.T) {
		require.Equal(t, s.asked(`{"q":"comparisons"}`)+"\n", s.compare("--json"))
		require.Equal(t, s.asked(question)+"\n", s.compare(demoQuestion, "--json"))
	})
	t.Run("Names", func(t *testing.T) {
		whole := s.compare(demoQuestion)
		for _, name := range []string{string(id), "which gin, which PEAR", "which pear"} {
			require.Equal(t, whole, s.compare(name), name)
		}
	})
	t.Run("Text", func(t *testing.T) {
		want, err := os.ReadFile(filepath.Join("testdata", "compare.golden"))
		require.NoError(t, err)
		const added = "Something bitter in it?"
		require.Equal(t, string(want), s.compare()+"\n"+s.compare(demoQuestion)+"\n"+s.compare(added))
		for _, name := range []string{demoQuestion, added} {
			requireCompared(t, s.compare(name, "--json"), s.compare(name))
		}
	})
	t.Run("CSV", func(t *testing.T) {
		var a comparisonAnswer
		require.NoError(t, json.Unmarshal([]byte(s.compare(demoQuestion, "--json")), &a))
		table := s.compare(demoQuestion, "--csv")
		require.Equal(t, a.CSV, table)
		rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
		require.NoError(t, err)
		require.Len(t, rows, 1+len(a.Findings))
		for i, f := range a.Findings {
			require.Equal(t, pairingName(f.Names), rows[i+1][0])
		}
	})
	t.Run("Refused", func(t *testing.T) {
		for _, row := range []struct {
			args []string
			code int
			says string
		}{
			{[]string{"Which rum"}, exitFailed, `there is no comparison "Which rum"`},
			{[]string{"Which rum"}, exitFailed, "fairmeasure compare lists them"},
			{[]string{"--csv"}, exitCall, "expected the NAME of a comparison, got none"},
			{[]string{demoQuestion, "--csv", "--json"}, exitCall, "expected --json or --csv, got both"},
			{[]string{"Which", "gin"}, exitCall, `unexpected "gin"`},
			{[]string{demoQuestion, "--now", "tonight"}, exitCall, "2026-05-15T22:04:00+02:00"},
			{[]string{demoQuestion, "--account", "Nobody"}, exitFailed, "accounts list"},
		} {
			code, out, errs := keeper(t, s.data, append([]string{"compare"}, row.args...)...)
			require.Equal(t, row.code, code, row.args)
			require.Contains(t, errs, row.says)
			require.Empty(t, out)
		}
		s.inside(func(*badgerstore.Store) { // a server has it open
			code, _, errs := keeper(t, s.data, "compare")
			require.Equal(t, exitStore, code)
			require.Contains(t, errs, "stop the server")
		})
		code, _, errs := keeper(t, filepath.Join(t.TempDir(), "none"), "compare")
		require.Equal(t, exitStore, code)
		require.Contains(t, errs, "no data")
	})
	t.Run("Quiet", func(t *testing.T) {
		s.device(func(d *scribe) { d.do(s.now, intent{"do": "set", "name": "quiet", "value": true}) })
		text := s.compare(demoQuestion)
		for _, never := range []string{"never tasted", "worth trying", "untasted", "unlikely"} {
			require.NotContains(t, text, never)
		}
		require.Contains(t, text, "soft floral gin + clear pear eau-de-vie (")
		require.Equal(t, s.asked(question)+"\n", s.compare(demoQuestion, "--json"))
		s.device(func(d *scribe) { d.do(s.now, intent{"do": "set", "name": "quiet", "value": false}) })
	})
	t.Run("Ambiguous", func(t *testing.T) {
		var of struct {
			Drinks []struct {
				Name, Base string
				Lines      []struct{ Line string }
			}
		}
		require.NoError(t, json.Unmarshal([]byte(s.compare("--json")), &of))
		s.device(func(d *scribe) {
			for i, name := range []string{demoQuestion, "Which pear alone", "Which pear, again"} {
				d.do(s.now, intent{
					"do": "compare", "id": d.newID(s.now.Add(time.Duration(i) * time.Second)), "base": of.Drinks[0].Base, "name": name,
					"lines": []string{of.Drinks[0].Lines[0].Line}, "candidates": []intent{{"line": of.Drinks[0].Lines[0].Line, "name": "something else, 40 %"}},
				})
			}
		})
		code, _, errs := keeper(t, s.data, "compare", demoQuestion)
		require.Equal(t, exitCall, code)
		require.Contains(t, errs, demoQuestion+" ("+string(id)+")")
		require.Contains(t, errs, "hint: give the whole name or the id")
		code, _, errs = keeper(t, s.data, "compare", "which pear")
		require.Equal(t, exitCall, code)
		require.Contains(t, errs, "Which pear alone (")
		require.Contains(t, s.compare("Which pear alone"), "Nothing is scored yet.\n")
		require.Contains(t, s.compare(string(id)), demoQuestion)
	})
}

func TestCompareNothing(t *testing.T) {
	s := stoppedDemo(t, false)
	require.Equal(t, "Nothing is compared yet.\n", s.compare())
	code, _, errs := keeper(t, s.data, "compare", demoQuestion)
	require.Equal(t, exitFailed, code)
	require.Contains(t, errs, "nothing is compared yet")
	require.Equal(t, s.asked(`{"q":"comparisons"}`)+"\n", s.compare("--json"))
}

// TestCompareAllThereIs: families, what was never set side by side, trials, choices, rankings, friends, a line that is gone.
func TestCompareAllThereIs(t *testing.T) {
	s := stoppedDemo(t, true)
	var of struct {
		Drinks []struct {
			Name, Base string
			Lines      []struct{ Line, Name string }
		}
	}
	require.NoError(t, json.Unmarshal([]byte(s.compare("--json")), &of))
	base := of.Drinks[0]
	const name = "Which third"
	s.device(func(d *scribe) {
		begun := s.now.Add(-72 * time.Hour)
		named := func(n int) replica.ID { return d.newID(begun.Add(time.Duration(n) * time.Minute)) }
		question := named(0)
		other := map[string]replica.ID{}
		for i, one := range [][2]string{{"hay brandy", "brandy"}, {"sweet apple brandy", "brandy"}, {"white rum", "rum"}, {"amber rum", "rum"}} {
			other[one[0]] = named(i + 1)
			d.do(begun, intent{"do": "edit", "id": other[one[0]], "kind": "ingredient", "set": intent{"name": one[0], "abv_bp": 4000, "family": one[1]}})
		}
		line := base.Lines[0].Line
		d.do(begun, intent{"do": "compare", "id": question, "base": base.Base, "name": name, "lines": []string{line, base.Lines[1].Line}, "candidates": []intent{
			{"line": line, "ingredient": other["hay brandy"]}, {"line": line, "ingredient": other["sweet apple brandy"]}, {"line": line, "ingredient": other["white rum"]},
			{"line": base.Lines[1].Line, "ingredient": other["amber rum"]},
		}})
		d.do(begun, intent{"do": "anchor", "id": named(10), "comparison": question, "anchor_x10": 95})
		var a struct {
			Findings []struct {
				Picks     string
				Names     []string
				Benchmark bool
			}
		}
		d.asked(intent{"q": "comparison", "id": question}, &a)
		picks := map[string]string{}
		var benchmark string
		for _, f := range a.Findings {
			picks[f.Names[0]+"/"+f.Names[1]] = f.Picks
			if f.Benchmark {
				benchmark = f.Picks
			}
		}
		hay, rum := picks["hay brandy/"+base.Lines[1].Name], picks["white rum/"+base.Lines[1].Name]
		require.NotEmpty(t, hay)
		apart := picks["sweet apple brandy/amber rum"]
		for k, third := range []string{rum, rum, apart} { // the same glasses twice, and two that meet nothing else
			at := begun.Add(time.Duration(k) * 24 * time.Hour)
			flight := d.newID(at)
			d.do(at, intent{"do": "flight", "id": flight, "comparison": question, "pour_ul": 15_000, "seed": "1", "sight": "blind", "seats": []intent{
				{"picks": benchmark, "why": "benchmark"}, {"picks": hay, "why": "own"}, {"picks": third, "why": "own"},
			}})
			for i, seat := range d.seatsOf(flight) {
				score := map[string]int{benchmark: 90, hay: 95, rum: 75, apart: 80}[seat.picks]
				poured := at.Add(time.Duration(i) * 5 * time.Minute)
				d.do(poured, intent{"do": "taste", "id": d.newID(poured), "seat": seat.id, "score_x10": score, "tags": []string{"floral"}})
				if third == rum {
					d.do(poured, intent{"do": "rate", "id": d.newID(poured), "seat": seat.id, "taster": "Kim", "score_x10": 100 - score})
				}
			}
			d.do(at.Add(time.Hour), intent{"do": "flight_state", "id": flight, "state": "end"})
		}
		for i := range 8 {
			for _, sort := range []string{"paired", "triangle", "preferred"} {
				outcome := map[bool]string{true: "a", false: "b"}[i > 0]
				if sort == "triangle" {
					outcome = map[bool]string{true: "found", false: "missed"}[i > 4]
				}
				d.do(s.now, intent{"do": "trial", "id": d.newID(s.now), "comparison": question, "sort": sort, "a": hay, "b": benchmark, "outcome": outcome})
			}
		}
		d.do(begun, intent{"do": "flight", "id": d.newID(begun), "comparison": question, "pour_ul": 5_000, "seed": "2", "sight": "blind", "seats": []intent{
			{"picks": benchmark, "why": "benchmark"}, {"picks": hay, "why": "leader"},
		}})
	})
	raw, text := s.compare(name, "--json"), s.compare(name)
	var a comparisonAnswer
	require.NoError(t, json.Unmarshal([]byte(raw), &a))
	require.NotEmpty(t, a.Groups)
	require.NotEmpty(t, a.Panel)
	require.Len(t, a.Trials, 3)
	require.NotEmpty(t, a.Choices)
	require.NotNil(t, a.Ranks)
	requireCompared(t, raw, text)
	require.Contains(t, text, "so they cannot be set against each other yet:\n    juniper-heavy gin, ")
	require.Contains(t, text, "declared so high that hardly anything can score above it")
	require.Contains(t, text, "juniper-heavy gin + clear pear eau-de-vie chosen 1 of 8 times\n         not shown by these trials; ")
	require.Contains(t, text, "the odd glass of three found 3 of 8 times; guessing finds a third\n         not shown by these trials; ")
	require.Contains(t, text, "  Kim: 6 scores, highest: white rum + ")
	require.NotEmpty(t, a.Families)
}

// requireCompared holds what is printed against the answer it is of.
func requireCompared(t *testing.T, raw, text string) {
	t.Helper()
	var a comparisonAnswer
	require.NoError(t, json.Unmarshal([]byte(raw), &a))
	require.Empty(t, testdata.NeverSaid(t, text), text)
	require.Contains(t, text, compareCaution)
	at := 0
	next := func(format string, args ...any) { // stands in the text, after what was found before
		t.Helper()
		want := fmt.Sprintf(format, args...)
		i := strings.Index(text[at:], want)
		require.GreaterOrEqual(t, i, 0, "%q is missing, or stands too early, in\n%s", want, text)
		at += i + len(want)
	}
	one := func(d float64) string { return strings.Replace(fmt.Sprintf("%+.1f", d), "+0.0", "0.0", 1) }
	half := func(x10 []int) string {
		var all []string
		for _, n := range x10 {
			all = append(all, fmt.Sprint(float64(n)/10))
		}
		return strings.Join(all, ", ")
	}
	require.NotEmpty(t, a.Say)
	next("scores %d\n", a.Scored)
	if a.AnchorX10 != nil {
		next("is now worth %v (", float64(*a.AnchorX10)/10)
	}
	before := ""
	for _, it := range a.Say {
		next("  %s\n", sayWords(it.Code, before, strings.Join(nonEmpty(it.Names...), " + "), it.D, it.Lo, it.Hi))
		if before = it.Code; before == "apart" {
			for _, names := range a.Groups {
				next("    %s\n", strings.Join(names, ", "))
			}
		}
	}
	untasted := 0
	for _, f := range a.Findings {
		if f.Tasted == 0 && !f.Benchmark {
			if untasted++; untasted > fewUntasted {
				require.NotContains(t, text, "  "+pairingName(f.Names)+" (")
				continue
			}
		}
		points := "-"
		if !f.Benchmark && f.D != nil {
			points = one(*f.D)
		}
		next("%6s  %s", points, pairingName(f.Names))
		if !f.Benchmark && f.D != nil {
			next(" (%s to %s, %d %%", one(*f.Lo), one(*f.Hi), *f.Better)
		}
		next("\n         ")
		line, _, _ := strings.Cut(text[at:], "\n")
		verdict := strings.ReplaceAll(f.Verdict, "_", " ")
		switch f.Verdict {
		case "predicted":
			verdict = "predicted from its bottles"
		case "not_enough_data":
			verdict = "not enough data to tell"
		}
		require.True(t, strings.HasPrefix(line, verdict), line)
		if f.Tasted > 0 {
			require.Contains(t, line, "scored "+half(f.Scores))
			if half(f.Scores) != half(f.Todays) {
				require.Contains(t, line, half(f.Scores)+", on today's scale "+half(f.Todays))
			}
		}
		if f.Tasted > 1 {
			require.Contains(t, line, fmt.Sprintf("tasted %d times", f.Tasted))
		}
		require.Equal(t, f.Tasted > 0 && f.NotBlind, strings.Contains(line, "not blind"))
		require.Equal(t, f.Tasted > 0 && f.Guess && !f.Benchmark, strings.Contains(line, "a guess so far"))
	}
	for _, swap := range a.Swaps {
		if swap.Addition {
			next("What an addition adds")
		} else {
			next("What each adds instead of %s", swap.LineName)
		}
		for _, e := range swap.Effects {
			if e.Benchmark {
				next("     -  %s\n", pairingName([]string{e.Name}))
			} else {
				next("%6s  %s (%s to %s)\n", one(e.D), e.Name, one(e.Lo), one(e.Hi))
			}
			line, _, _ := strings.Cut(strings.TrimPrefix(text[at:], "         "), "\n")
			for _, term := range e.Terms {
				require.Contains(t, line, fmt.Sprintf("%s %dx", term.Term, term.N))
			}
			if e.Price != nil {
				require.Contains(t, line, fmt.Sprintf("%d.%02d %s", *e.Price/100, *e.Price%100, e.Currency))
			}
		}
	}
	for _, f := range a.Families {
		next("%s beside %s: %s (%s to %s)", f.Family, f.Than, one(f.D), one(f.Lo), one(f.Hi))
	}
	for _, it := range a.Interactions {
		next("%s: %s beyond it", pairingName(it.Names), one(it.D))
	}
	for _, f := range a.Findings {
		if f.OnFront {
			next("%s: %d.%02d %s", pairingName(f.Names), *f.Price/100, *f.Price%100, f.Currency)
			if f.PricePerPoint != nil {
				next(", %d.%02d %s for each point", *f.PricePerPoint/100, *f.PricePerPoint%100, f.Currency)
			}
		}
	}
	if a.Ranks != nil {
		next("in each of %d flights", a.Ranks.Flights)
		next("%d times in a hundred", a.Ranks.Chance)
		for _, it := range a.Ranks.Rows {
			next("%s: places added up %v", pairingName(it.Names), it.Sum)
		}
	}
	for _, it := range a.Choices {
		if it.Lo != 0 || it.Hi != 0 { // the benchmark's own are none
			odds := func(ability float64) float64 { return 100 * math.Exp(ability) / (math.Exp(ability) + 1) }
			next("%s: %.0f %% (likely %.0f to %.0f %%)", pairingName(it.Names), odds(it.Ability), odds(it.Lo), odds(it.Hi))
		}
	}
	for _, it := range a.Trials {
		next("%d of %d times", it.First, it.N)
		next("likely %d to %d %% in the long run", it.Lo, it.Hi)
		next("%d times in a hundred", it.Chance)
	}
	for _, it := range a.Panel {
		next("%s: %d score", it.Taster, it.N)
		next("highest: %s", it.Top)
	}
	for _, f := range a.Flights {
		next("%s: %d of %d scored", f.Day, f.Scored, f.Seats)
		next(", %s\n", f.Sight)
	}
}

// TestCompareSaysWhatTheAppSays: the same words for the same things.
func TestCompareSaysWhatTheAppSays(t *testing.T) {
	var file []byte
	for _, name := range []string{"side.ts", "compared.ts"} {
		part, err := os.ReadFile("../../pwa/src/app/words/en/later/" + name)
		require.NoError(t, err)
		file = append(file, part...)
	}
	app := regexp.MustCompile(`\$\{\w+\}`).ReplaceAllString(strings.NewReplacer("\u2019", "'", "\u201c", `"`, "\u201d", `"`).Replace(string(file)), "") // without what is put in
	says := func(words string) {                                                                                                                        // without the file in the message
		t.Helper()
		require.True(t, strings.Contains(app, words), "the app does not say %q", words)
	}
	for code, word := range verdictWords {
		require.True(t, regexp.MustCompile(`(?m)^ +`+code+`: '`+regexp.QuoteMeta(word)+`',$`).MatchString(app), "the app does not call %s %q", code, word)
	}
	one := 1.0
	for _, said := range []string{
		sayWords("ahead", "", "", nil, nil, nil), sayWords("confirmed", "", "", nil, nil, nil), sayWords("no_better", "", "", nil, nil, nil),
		sayWords("needs_more", "ahead", "", nil, nil, nil), sayWords("needs_more", "", "", nil, nil, nil), sayWords("apart", "", "", nil, nil, nil),
		sayWords("ask_anchor", "", "", nil, nil, nil), sayWords("none_yet", "", "", nil, nil, nil),
	} {
		says(strings.TrimSpace(said))
	}
	require.Equal(t, "X is ahead of your benchmark by about 1.0 (likely between 1.0 and 1.0).", sayWords("ahead", "", "X", &one, &one, &one))
	says(" by about  (likely between  and )")
	require.Equal(t, "Not enough data to tell yet. Best so far: X, +1.0 (likely +1.0 to +1.0).", sayWords("needs_more", "", "X", &one, &one, &one))
	says("Not enough data to tell yet. Best so far: ,  (likely ).")
	require.Equal(t, "Your benchmark, tasted without knowing it, scored 1.0 higher than you had declared. Is it worth something else now?", sayWords("ask_anchor", "", "", &one, nil, nil))
	says("Your benchmark, tasted without knowing it, scored  ")
	says(" than you had declared. Is it worth something else now?")
	for _, words := range []string{
		"Nothing is compared yet.", "What the scores say", "Best first", "What each adds instead of ", "What an addition adds", "nothing added",
		"predicted from its bottles, never tasted", "not blind", "a guess so far", "better together than its bottles suggest", "scored at the end of the scale",
		"on today's scale ", "the benchmark's own", "benched", "Which kind does better", "does better", "does worse", "no clear difference", "Better together",
		" beyond it", "Score against price", " for each point above the benchmark", "Does the order hold", "No order is shown by these flights",
		"An order is shown: some do better again and again", "places added up ", "How often each is chosen", "Blind trials", "told apart from",
		"the odd glass of three found ", "guessing finds a third", "not shown by these trials", "Fewer than  cannot show anything", " % in the long run",
		"chance alone does as well less than once in a hundred", "chance alone does as well once in a hundred", "chance alone does as well  times in a hundred",
		"Friends", "Flights", "set up, not begun", "is on", strings.TrimSuffix(compareCaution, "."),
	} {
		says(words)
	}
}
