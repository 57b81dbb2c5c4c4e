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
const compareCaution = `One person's scores of one glass. "Likely" leaves one chance in ten that it lies outside.`

// verdictWords are what the app calls the verdicts.
var verdictWords = map[string]string{
	"benchmark": "benchmark", "better": "better", "worse": "worse", "about_the_same": "about the same", "probably_better": "probably better",
	"probably_worse": "probably worse", "worth_trying": "worth trying", "unlikely": "unlikely to be better", "not_enough_data": "not enough data to tell",
}
