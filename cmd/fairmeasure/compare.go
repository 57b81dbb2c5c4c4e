package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"text/tabwriter"

	"fairmeasure/sync/schema"
)

type compareConfig struct {
	askingConfig
	// JSON prints the core's answer as it is.
	JSON bool
	// CSV prints the findings as comma-separated values.
	CSV bool
}

var compareCommand = command{
	name: "compare",
	does: "what your scores say of the versions of a drink",
	help: `
Without a name it lists what is being compared; with the NAME or the id of a comparison (a part of the name does where it is
the only one) it prints what the scores say: what is ahead of the benchmark and how sure that is, what each ingredient adds,
what it costs, what was never set side by side, trials and friends' scores. A name with blanks goes in quotes.

Works on the data of a server that is stopped, with the arithmetic the app uses. What a device has not sent yet is not
counted. --json prints what the app's screen is drawn from, --csv the table that it saves.`,
	options: func(o *options) {
		cfg := &compareConfig{}
		o.cfg, o.maxArgs = cfg, 1
		cfg.declare(o)
		o.flags.BoolVar(&cfg.JSON, "json", false, "Print JSON for a program.")
		o.flags.BoolVar(&cfg.CSV, "csv", false, "Print every pairing as comma-separated values.")
		o.local["json"], o.local["csv"] = true, true
	},
	run: func(ctx context.Context, p *program, o *options) error {
		name := ""
		if len(o.args) > 0 {
			name = strings.TrimSpace(o.args[0])
		}
		return p.compare(ctx, *o.cfg.(*compareConfig), name)
	},
}

func (p *program) compare(ctx context.Context, cfg compareConfig, name string) error {
	switch {
	case cfg.CSV && cfg.JSON:
		return &callError{"compare: expected --json or --csv, got both", "--csv is for a table, --json for a program"}
	case cfg.CSV && name == "":
		return &callError{"compare: --csv: expected the NAME of a comparison, got none", "fairmeasure compare lists them"}
	}
	return p.asking(ctx, "compare", cfg.askingConfig, func(ask asked) error {
		raw, err := ask(`{"q":"comparisons"}`)
		if err != nil {
			return err
		}
		var all comparisonsAnswer
		if err := json.Unmarshal(raw, &all); err != nil {
			return fmt.Errorf("compare: reading the answer: %w", err)
		}
		if name == "" {
			if cfg.JSON {
				_, err = fmt.Fprintf(p.stdout, "%s\n", raw)
				return err
			}
			return all.print(p.stdout)
		}
		id, err := all.named(name)
		if err != nil {
			return err
		}
		question, err := json.Marshal(map[string]string{"q": "comparison", "id": id})
		if err != nil {
			return err
		}
		if raw, err = ask(string(question)); err != nil {
			return err
		}
		if cfg.JSON {
			_, err = fmt.Fprintf(p.stdout, "%s\n", raw)
			return err
		}
		var c comparisonAnswer
		if err := json.Unmarshal(raw, &c); err != nil {
			return fmt.Errorf("compare: reading the answer: %w", err)
		}
		switch {
		case cfg.CSV && c.CSV == "":
			return errors.New("compare: " + nothingSwapped)
		case cfg.CSV:
			_, err = io.WriteString(p.stdout, c.CSV)
			return err
		}
		var keeper struct{ Settings struct{ Quiet bool } }
		if raw, err = ask(`{"q":"keeper"}`); err == nil {
			err = json.Unmarshal(raw, &keeper)
		}
		if err != nil {
			return err
		}
		return c.print(p.stdout, keeper.Settings.Quiet)
	})
}

type comparisonRow struct {
	ID, Name         string
	DrinkName        string `json:"drink_name"`
	Candidates       []int
	Pairings, Tasted int
	Scored           int
	LastDay          *string `json:"last_day"`
	Running          *string
}

// called is what a comparison is called on the screen.
func (r comparisonRow) called() string {
	for _, name := range []string{r.Name, r.DrinkName} {
		if name != "" {
			return name
		}
	}
	return r.ID
}

type comparisonsAnswer struct{ Rows []comparisonRow }

// named finds the comparison meant: by its id, by its whole name, or by a part of a name.
func (a comparisonsAnswer) named(name string) (string, error) {
	hint := "fairmeasure compare lists them"
	for _, fits := range []func(comparisonRow) bool{
		func(r comparisonRow) bool { return r.ID == name },
		func(r comparisonRow) bool { return strings.EqualFold(r.called(), name) },
		func(r comparisonRow) bool {
			return strings.Contains(strings.ToLower(r.called()), strings.ToLower(name))
		},
	} {
		var found []comparisonRow
		for _, r := range a.Rows {
			if fits(r) {
				found = append(found, r)
			}
		}
		if len(found) == 1 {
			return found[0].ID, nil
		}
		if len(found) > 1 {
			var said []string
			for _, r := range found {
				said = append(said, fmt.Sprintf("%s (%s)", r.called(), r.ID))
			}
			return "", &callError{fmt.Sprintf("compare: %q can be any of %s", name, strings.Join(said, ", ")), "give the whole name or the id"}
		}
	}
	if len(a.Rows) == 0 {
		hint = "nothing is compared yet; the app begins a comparison, in Side by side"
	}
	return "", &hinted{fmt.Errorf("compare: there is no comparison %q", name), hint}
}

func (a comparisonsAnswer) print(out io.Writer) error {
	if len(a.Rows) == 0 {
		_, err := fmt.Fprintln(out, "Nothing is compared yet.")
		return err
	}
	t := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "comparison\tdrink\tpairings\ttasted\tscores\tlast\tid")
	for _, r := range a.Rows {
		last := "-"
		switch {
		case r.Running != nil:
			last = "a flight is on"
		case r.LastDay != nil:
			last = *r.LastDay
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%d\t%d\t%s\t%s\n", r.called(), r.DrinkName, pairingWords(r.Candidates, r.Pairings), r.Tasted, r.Scored, last, r.ID)
	}
	return t.Flush()
}

// pairingWords say how many pairings there are, and of how many in each line.
func pairingWords(candidates []int, n int) string {
	if len(candidates) < 2 {
		return strconv.Itoa(n)
	}
	var each []string
	for _, k := range candidates {
		each = append(each, strconv.Itoa(k))
	}
	return fmt.Sprintf("%d (%s)", n, strings.Join(each, " x "))
}

type finding struct {
	Names         []string
	Benchmark     bool
	Tasted        int
	Flights       int
	Scores        []int `json:"scores_x10"`
	Todays        []int `json:"todays_x10"`
	D, Lo, Hi     *float64
	Better        *int `json:"better_percent"`
	Verdict       string
	NotBlind      bool `json:"not_blind"`
	Guess         bool
	Together      bool
	AtCeiling     bool   `json:"at_ceiling"`
	Price         *int64 `json:"price_minor"`
	Currency      string
	OnFront       bool   `json:"on_front"`
	PricePerPoint *int64 `json:"per_point_minor"`
}

type brings struct {
	Name      string
	Family    string
	Benched   bool
	Benchmark bool
	D, Lo, Hi float64
	Tasted    int
	Terms     []struct {
		Term string
		N    int
	}
	Price    *int64 `json:"price_minor"`
	Currency string
}

// comparisonAnswer is what is printed of the answer to the question for one comparison.
type comparisonAnswer struct {
	ID, Name  string
	DrinkName string `json:"drink_name"`
	AnchorX10 *int   `json:"anchor_x10"`
	Anchors   []struct {
		Day       string
		AnchorX10 int `json:"anchor_x10"`
	}
	Swaps []struct {
		LineName string `json:"line_name"`
		Addition bool
		Effects  []brings
	}
	Pairings int
	Findings []finding
	Say      []struct {
		Code      string
		Names     []string
		D, Lo, Hi *float64
	}
	Families []struct {
		Family, Than string
		D, Lo, Hi    float64
	}
	Groups       [][]string
	Interactions []struct {
		Names []string
		D     float64
	}
	Flights []struct {
		Day           string
		Seats, Scored int
		State, Sight  string
	}
	Panel []struct {
		Taster string
		N      int
		Top    string
	}
	Trials []struct {
		Sort, A, B string
		N, First   int
		Chance     int `json:"chance_percent"`
		Shown      bool
		Lo         int `json:"lo_percent"`
		Hi         int `json:"hi_percent"`
	}
	Choices []struct {
		Names           []string
		Ability, Lo, Hi float64
	}
	Ranks *struct {
		Chance  int `json:"chance_percent"`
		Shown   bool
		Flights int
		Rows    []struct {
			Names []string
			Sum   float64
		}
	}
	Scored int
	CSV    string
}

// fewUntasted is how many pairings are printed that nobody has tasted; --csv has all.
const fewUntasted = 12

const nothingSwapped = "no line of the benchmark is swapped any more, so there is nothing to compare"

// compareCaution stands under every comparison that is printed.
const compareCaution = `One person's scores of one drink, made one way. A few scores decide little; order, tiredness and alcohol change them.`

// verdictWords are what the app calls the verdicts.
var verdictWords = map[string]string{
	"benchmark": "benchmark", "better": "better", "worse": "worse", "about_the_same": "about the same", "probably_better": "probably better",
	"probably_worse": "probably worse", "worth_trying": "worth trying", "unlikely": "unlikely to be better", "not_enough_data": "not enough data to tell",
}

// sayWords put what the data says into a sentence; by is how much and how sure.
func sayWords(code, names, by string) string {
	switch code {
	case "ahead":
		return names + " is ahead of your benchmark" + by + "."
	case "confirmed":
		return names + " is better than your benchmark" + by + "; a second flight confirmed it."
	case "no_better":
		return "Nothing tasted so far is shown to be better than your benchmark."
	case "needs_more":
		if names == "" {
			return "Not enough data to tell."
		}
		return "Not enough data to tell about " + names + "."
	case "apart":
		return "Some of these have never met in one flight, so they cannot be set against each other yet."
	case "ask_anchor":
		return "The benchmark, tasted hidden, scored far from what you declared. Is it worth something else now?"
	case "none_yet":
		return "Nothing is scored yet."
	}
	return code
}

// pairingName joins the names in a pairing; where something may be added and is not, that is no name.
func pairingName(names []string) string {
	if name := strings.Join(nonEmpty(names...), " + "); name != "" {
		return name
	}
	return "nothing added"
}

func signed(d float64) string {
	if d == 0 {
		return "0.0"
	}
	return fmt.Sprintf("%+.1f", d)
}

func between(lo, hi float64) string { return signed(lo) + " to " + signed(hi) }

// scoreWords set scores for reading, the oldest first.
func scoreWords(x10 []int) string {
	var all []string
	for _, n := range x10 {
		all = append(all, scoreWord(n))
	}
	return strings.Join(all, ", ")
}

func scoreWord(x10 int) string { return strconv.FormatFloat(float64(x10)/10, 'f', -1, 64) }

func timesWords(n int) string {
	if n == 1 {
		return "once"
	}
	return strconv.Itoa(n) + " times"
}

// details are what the figures of a pairing stand on, and what is to be minded about them.
func (f finding) details() string {
	tasted := "untasted"
	switch {
	case f.Tasted == 1:
		tasted = "tasted once"
	case f.Tasted > 1 && f.Flights == 1:
		tasted = fmt.Sprintf("tasted %d times in one flight", f.Tasted)
	case f.Tasted > 1:
		tasted = fmt.Sprintf("tasted %d times in %d flights", f.Tasted, f.Flights)
	case f.D != nil:
		tasted = "predicted from its bottles, never tasted"
	}
	all := []string{verdictWords[f.Verdict], tasted}
	if f.Tasted > 0 {
		if len(f.Scores) > 0 {
			all = append(all, fmt.Sprintf("scores %s (on today's scale %s)", scoreWords(f.Scores), scoreWords(f.Todays)))
		}
		for _, mind := range []struct {
			so   bool
			says string
		}{
			{f.NotBlind, "not blind"}, {f.Guess, "a guess so far"}, {f.Together, "better together than its bottles suggest"},
			{f.AtCeiling, "scored at the end of the scale"},
		} {
			if mind.so {
				all = append(all, mind.says)
			}
		}
	}
	return strings.Join(nonEmpty(all...), "; ")
}

func (c comparisonAnswer) print(out io.Writer, quiet bool) error {
	var text strings.Builder
	say := func(format string, args ...any) { fmt.Fprintf(&text, format+"\n", args...) }
	title := comparisonRow{ID: c.ID, Name: c.Name, DrinkName: c.DrinkName}.called()
	if c.DrinkName != "" && c.DrinkName != title {
		title += " (" + c.DrinkName + ")"
	}
	if len(c.Swaps) == 0 {
		say("%s\n%s.", title, strings.ToUpper(nothingSwapped[:1])+nothingSwapped[1:])
		_, err := io.WriteString(out, text.String())
		return err
	}
	var candidates []int
	tasted := 0
	for _, s := range c.Swaps {
		candidates = append(candidates, len(s.Effects))
	}
	for _, f := range c.Findings {
		if f.Tasted > 0 {
			tasted++
		}
	}
	say("%s: pairings %s, tasted %d, scores %d", title, pairingWords(candidates, c.Pairings), tasted, c.Scored)
	if c.AnchorX10 != nil {
		var since []string
		for _, a := range c.Anchors {
			since = append(since, fmt.Sprintf("from %s: %s", a.Day, scoreWord(a.AnchorX10)))
		}
		say("Your benchmark is now worth %s (%s).", scoreWord(*c.AnchorX10), strings.Join(since, "; "))
	}

	say("\nWhat the scores say")
	for _, s := range c.Say {
		by := ""
		if s.D != nil && s.Lo != nil && s.Hi != nil {
			d := *s.D
			if d < 0 {
				d = -d
			}
			by = fmt.Sprintf(" by about %.1f (likely between %.1f and %.1f)", d, *s.Lo, *s.Hi)
		}
		said := sayWords(s.Code, strings.Join(nonEmpty(s.Names...), " + "), by)
		if s.Code == "ask_anchor" && s.D == nil {
			said = "Hardly anything can score above what you declared for the benchmark. Is it worth something else now?"
		}
		say("  %s", said)
	}
	if len(c.Groups) > 1 {
		var groups []string
		for _, names := range c.Groups {
			groups = append(groups, strings.Join(names, ", "))
		}
		say("  These groups have never met in one flight: %s", strings.Join(groups, " / "))
	}

	say("\nAgainst the benchmark, in points")
	c.printFindings(&text, quiet)
	for _, s := range c.Swaps {
		name := s.LineName
		if s.Addition {
			name = "what is added"
		}
		say("\nWhat each adds for %s, in points", name)
		printBrings(&text, s.Effects, quiet)
	}

	var priced []finding
	for _, f := range c.Findings {
		if f.OnFront && f.Price != nil {
			priced = append(priced, f)
		}
	}
	if len(priced) > 0 {
		say("\nNo other is both cheaper and better: price of a glass")
		for _, f := range priced {
			per := ""
			if f.PricePerPoint != nil {
				per = fmt.Sprintf(", %s for each extra point", schema.PriceText(*f.PricePerPoint, f.Currency))
			}
			say("  %s: %s%s", pairingName(f.Names), schema.PriceText(*f.Price, f.Currency), per)
		}
	}
	c.printRest(say)
	say("\n%s", compareCaution)
	_, err := io.WriteString(out, text.String())
	return err
}

// printFindings prints the pairings, the best first: those that were tasted and, unless the owner wants quiet, the first of
// the others.
func (c comparisonAnswer) printFindings(out io.Writer, quiet bool) {
	untasted := 0
	for _, f := range c.Findings {
		if f.Tasted == 0 && !f.Benchmark {
			untasted++
			if quiet || untasted > fewUntasted {
				continue
			}
		}
		points, likely := "-", ""
		if !f.Benchmark && f.D != nil && f.Lo != nil && f.Hi != nil {
			points, likely = signed(*f.D), between(*f.Lo, *f.Hi)
			if f.Better != nil {
				likely += fmt.Sprintf(", %d %% likely better", *f.Better)
			}
		}
		printRow(out, points, likely, pairingName(f.Names), f.details())
	}
	if untasted > fewUntasted && !quiet {
		fmt.Fprintf(out, "  and %d more that were never tasted; --csv has all\n", untasted-fewUntasted)
	}
}

func printBrings(out io.Writer, all []brings, quiet bool) {
	for _, e := range all {
		if quiet && e.Tasted == 0 && !e.Benchmark {
			continue
		}
		points, likely := "-", ""
		own := "the benchmark's own"
		if !e.Benchmark {
			points, likely, own = signed(e.D), between(e.Lo, e.Hi), ""
		}
		tasted := "untasted"
		if e.Tasted > 0 {
			tasted = "tasted " + timesWords(e.Tasted)
		}
		var terms []string
		for _, t := range e.Terms {
			terms = append(terms, fmt.Sprintf("%s %dx", strings.ReplaceAll(t.Term, "_", " "), t.N))
		}
		benched, price := "", ""
		if e.Benched {
			benched = "benched"
		}
		if e.Price != nil {
			price = schema.PriceText(*e.Price, e.Currency)
		}
		printRow(out, points, likely, pairingName([]string{e.Name}), strings.Join(nonEmpty(own, tasted, strings.Join(terms, ", "), price, benched), "; "))
	}
}

// printRow prints a name with its difference, how sure that is, and on a line of its own what it stands on.
func printRow(out io.Writer, points, likely, name, details string) {
	if likely != "" {
		likely = " (" + likely + ")"
	}
	fmt.Fprintf(out, "  %5s  %s%s\n         %s\n", points, name, likely, details)
}

// printRest prints what else was written down: families, what goes together, trials, rankings, friends and flights.
func (c comparisonAnswer) printRest(say func(string, ...any)) {
	if len(c.Families)+len(c.Interactions) > 0 {
		say("\nFamilies, and what goes together")
		for _, f := range c.Families {
			say("  %s against %s: %s, %s", familyWords(f.Family), familyWords(f.Than), signed(f.D), between(f.Lo, f.Hi))
		}
		for _, i := range c.Interactions {
			say("  %s: %s beyond what its bottles add", pairingName(i.Names), signed(i.D))
		}
	}
	if len(c.Trials) > 0 {
		say("\nTrials without a score")
		for _, t := range c.Trials {
			what := fmt.Sprintf("%s: %s against %s: chosen %d of %d times", t.Sort, t.A, t.B, t.First, t.N)
			verdict := "Chance alone could do that"
			switch {
			case t.Sort == "triangle":
				what = fmt.Sprintf("%s: %s against %s: the odd glass of three found %d of %d times", t.Sort, t.A, t.B, t.First, t.N)
				if t.Shown {
					verdict = "They can be told apart; chance alone would do that"
				}
			case t.Shown:
				verdict = "More than chance would do"
			}
			say("  %s (likely between %d and %d %%). %s (%d %% of the time).", what, t.Lo, t.Hi, verdict, t.Chance)
		}
	}
	if len(c.Choices) > 0 {
		say("\nChosen without a score, beside the benchmark; not in points")
		for _, k := range c.Choices {
			likely := between(k.Lo, k.Hi)
			if k.Lo == 0 && k.Hi == 0 {
				likely = "the benchmark"
			}
			say("  %4s  %s (%s)", signed(k.Ability), pairingName(k.Names), likely)
		}
	}
	if r := c.Ranks; r != nil {
		verdict := "chance alone could do that"
		if r.Shown {
			verdict = "more than chance would do"
		}
		say("\nThe same glasses in %d flights, by the sum of their ranks: %s (%d %% of the time)", r.Flights, verdict, r.Chance)
		for _, row := range r.Rows {
			say("  %g  %s", row.Sum, pairingName(row.Names))
		}
	}
	if len(c.Panel) > 0 {
		say("\nFriends' scores: shown only, not counted in")
		for _, f := range c.Panel {
			scores := "1 score"
			if f.N != 1 {
				scores = fmt.Sprintf("%d scores", f.N)
			}
			say("  %s, %s: highest %s", f.Taster, scores, f.Top)
		}
	}
	if len(c.Flights) > 0 {
		say("\nFlights")
		for _, f := range c.Flights {
			state := ""
			if f.State != "ended" {
				state = ", " + f.State
			}
			say("  %s: %d of %d scored, %s%s", f.Day, f.Scored, f.Seats, f.Sight, state)
		}
	}
}

func familyWords(key string) string { return strings.ReplaceAll(key, "_", " ") }
