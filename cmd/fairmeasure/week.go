package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"

	"fairmeasure/sync/schema"
)

type weekConfig struct {
	askingConfig
	// JSON prints the answer of the API.
	JSON bool
}

var weekCommand = command{
	name: "week",
	does: "what the last seven days and the week came to, beside the guidance",
	help: `
Works on the data of a server that is stopped, with the arithmetic the app uses. What a device has not sent yet is not
counted. --json prints what GET /api/v1/journals/ID/week answers.`,
	options: func(o *options) {
		cfg := &weekConfig{}
		o.cfg = cfg
		cfg.declare(o)
		o.flags.BoolVar(&cfg.JSON, "json", false, "Print JSON for a program.")
		o.local["json"] = true
	},
	run: func(ctx context.Context, p *program, o *options) error { return p.week(ctx, *o.cfg.(*weekConfig)) },
}

func (p *program) week(ctx context.Context, cfg weekConfig) error {
	return p.asking(ctx, "week", cfg.askingConfig, func(ask asked) error {
		answer, err := ask(`{"q":"week"}`)
		if err != nil {
			return err
		}
		if cfg.JSON {
			_, err = fmt.Fprintf(p.stdout, "%s\n", answer)
			return err
		}
		var w weekAnswer
		if err := json.Unmarshal(answer, &w); err != nil {
			return fmt.Errorf("week: reading the answer: %w", err)
		}
		return w.print(p.stdout)
	})
}

type weekAlcohol struct {
	Grams, Drinks float64
	AtLeast       bool `json:"at_least"`
	About         bool
}

func (a weekAlcohol) marks() string {
	switch {
	case a.AtLeast && a.About:
		return "at least, about"
	case a.AtLeast:
		return "at least"
	case a.About:
		return "about"
	}
	return ""
}

type weekWindow struct {
	Name, From, To string
	Totals         struct {
		Alcohol weekAlcohol
		Pours   int
	}
	Drinking, Free, Nothing int
	Days                    []struct {
		Day, State string
		Alcohol    *weekAlcohol
		What       []struct {
			Name string
			N    int
		}
		Future bool
	}
}

// weekAnswer is what is printed of the answer to the question for the week.
type weekAnswer struct {
	Unit struct {
		Country, Name string
		Grams         float64
	}
	Country   string
	Quiet     bool
	OnFile    bool       `json:"on_file"`
	LastSeven weekWindow `json:"last_seven"`
	Calendar  weekWindow
	Mean      weekAlcohol `json:"four_week_mean"`
	Sessions  []struct {
		Day, Since, Until string
		Alcohol           weekAlcohol
		Pours             int
		Pace              *float64 `json:"pace_per_hour"`
		Peak              float64  `json:"peak_two_hours"`
	}
	Heavy    bool
	Guidance []struct {
		Issuer, Status, Comparator, Unit, Period, Group, State, Note string
		Year                                                         int
		Limit                                                        float64
		Amount                                                       *float64
		AtLeast                                                      bool `json:"at_least"`
		Spread                                                       int  `json:"spread_days"`
	}
	Checked    string
	CheckedOld bool `json:"checked_old"`
}

// weekCaution stands under every week that is printed.
const weekCaution = `It counts what was written down; glasses are often fuller than they look. Nothing here is for deciding about
driving or machinery: for these the only amount is none. In pregnancy none is safest; with medicines ask a pharmacist first.`

// statusWords say what a line of guidance is, where that is not guidance in force.
var statusWords = map[string]string{
	"current_dated": "old, nothing newer found", "current_under_review": "being reviewed",
	"definition": "a definition, not advice", "clinical": "for care staff",
}

func (w weekAnswer) print(out io.Writer) error {
	var text strings.Builder
	say := func(format string, args ...any) { fmt.Fprintf(&text, format+"\n", args...) }
	if w.Heavy {
		say("Before cutting down: days with so much alcohol make it dangerous to stop suddenly. Talk to a doctor first.\nShaking, sweating, seizures or confusion after stopping are an emergency.\n")
	}
	say("One %s (%s) is %g g of alcohol.\n", w.Unit.Name, schema.CountryName(w.Unit.Country), w.Unit.Grams)
	t := tabwriter.NewWriter(&text, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "day\tdrinks\tgrams\t\twhat")
	for _, d := range w.LastSeven.Days {
		switch {
		case d.State == "drunk" && d.Alcohol != nil:
			var what []string
			for _, it := range d.What {
				if it.N > 1 {
					what = append(what, fmt.Sprintf("%d x %s", it.N, it.Name))
				} else {
					what = append(what, it.Name)
				}
			}
			fmt.Fprintf(t, "%s\t%.1f\t%.1f\t%s\t%s\n", d.Day, d.Alcohol.Drinks, d.Alcohol.Grams, d.Alcohol.marks(), strings.Join(what, ", "))
		case d.State == "free":
			fmt.Fprintf(t, "%s\t0\t0\t\tno alcohol, confirmed\n", d.Day)
		default:
			fmt.Fprintf(t, "%s\t-\t-\t\tnothing logged\n", d.Day)
		}
	}
	row := func(name string, a weekAlcohol) {
		fmt.Fprintf(t, "%s\t%.1f\t%.1f\t%s\t\n", name, a.Drinks, a.Grams, a.marks())
	}
	row("last seven days", w.LastSeven.Totals.Alcohol)
	row("week "+w.Calendar.Name, w.Calendar.Totals.Alcohol)
	row("four-week mean", w.Mean)
	if err := t.Flush(); err != nil {
		return err
	}
	if !w.Quiet {
		say("\nOf the last seven days: alcohol on %d, none confirmed on %d, nothing logged on %d. Nothing logged is no proof of none.", w.LastSeven.Drinking, w.LastSeven.Free, w.LastSeven.Nothing)
	}
	if len(w.Sessions) > 0 {
		say("\nsessions")
		for _, s := range w.Sessions {
			var pace string
			if s.Pace != nil {
				pace = fmt.Sprintf(", %.1f an hour (a rough upper figure), at most %.1f in any two hours", *s.Pace, s.Peak)
			}
			span := s.Since
			if s.Pours > 1 {
				span += " to " + s.Until
			}
			say("  %s %s: %s%s", s.Day, span, strings.Join(nonEmpty(s.Alcohol.marks(), fmt.Sprintf("%.1f", s.Alcohol.Drinks)), " "), pace)
		}
	}

	say("\nguidance")
	if !w.OnFile {
		say("  None is on file for %s; this is the World Health Organization's.", schema.CountryName(w.Country))
	}
	for _, g := range w.Guidance {
		say("  %s", strings.Join(nonEmpty(issuerWords(g.Issuer, g.Year), statusWords[g.Status], g.Group), ", "))
		switch {
		case g.Comparator == "band":
			say("    the last seven days lie in its band %s", g.Note)
		case g.Amount == nil:
			say("    no number is given; the less, the lower the risk")
		default:
			is := fmt.Sprintf("%.1f is %s", *g.Amount, g.State)
			switch {
			case w.LastSeven.Totals.Pours == 0:
				is = "nothing logged beside"
			case g.AtLeast && g.State == "above":
				is = "at least " + is
			case g.AtLeast:
				is = fmt.Sprintf("at least %.1f, as far as is known %s", *g.Amount, g.State)
			}
			say("    %s: %s %g %s", strings.ReplaceAll(g.Period, "_", " "), is, g.Limit, unitWords(g.Unit, g.Limit))
		}
		if g.Spread > 0 {
			say("    its advice is to spread such an amount over %d days or more", g.Spread)
		}
	}
	say("  compared with its issuers in %s; for healthy adults, not medical advice", monthWords(w.Checked))
	if w.CheckedOld {
		say("  that is over 18 months ago: there may be newer guidance")
	}
	say("\n%s", weekCaution)
	_, err := io.WriteString(out, text.String())
	return err
}

// issuerWords name a line of guidance by body and year; a title that holds its year is not given it twice. A limit of the
// owner's own has no year.
func issuerWords(issuer string, year int) string {
	y := strconv.Itoa(year)
	switch {
	case issuer == "own":
		return "your own limit"
	case year == 0 || strings.Contains(issuer, y):
		return issuer
	}
	return issuer + ", " + y
}

// unitWords set a unit for reading. A country's own name for its standard drink stays as it is.
func unitWords(unit string, n float64) string {
	switch {
	case unit == "g":
		return "g of alcohol"
	case n != 1 && (strings.HasSuffix(unit, "standard drink") || strings.HasSuffix(unit, "unit")):
		return unit + "s"
	}
	return unit
}

// monthWords set a month such as 2026-11 for reading.
func monthWords(month string) string {
	t, err := time.Parse("2006-01", month)
	if err != nil {
		return month
	}
	return t.Format("January 2006")
}

func nonEmpty(all ...string) (out []string) {
	for _, s := range all {
		if s != "" {
			out = append(out, s)
		}
	}
	return out
}
