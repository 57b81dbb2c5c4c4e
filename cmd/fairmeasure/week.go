package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
	"time"

	"fairmeasure/server"
	"fairmeasure/server/auth"
	"fairmeasure/sync/schema"
)

type weekConfig struct {
	offlineConfig
	// Account whose journal is meant; empty when there is one alone.
	Account string
	// Now is the moment asked about, with the offset lived at.
	Now string
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
		f := o.flags
		f.StringVar(&cfg.Account, "account", "", "`NAME` of the account whose journal is meant; not needed where there is one alone.")
		f.StringVar(&cfg.Now, "now", "", "`TIME` to ask about, local with its offset: 2026-05-15T22:04:00+02:00. Default: now, by this machine's clock.")
		f.BoolVar(&cfg.JSON, "json", false, "Print JSON for a program.")
		for _, name := range []string{"account", "now", "json"} {
			o.local[name] = true
		}
	},
	run: func(ctx context.Context, p *program, o *options) error { return p.week(ctx, *o.cfg.(*weekConfig)) },
}

func (p *program) week(ctx context.Context, cfg weekConfig) error {
	now := p.now()
	if cfg.Now != "" {
		var err error
		if now, err = time.Parse(time.RFC3339, cfg.Now); err != nil {
			return &callError{fmt.Sprintf("week: --now %q: expected local date and time with their offset", cfg.Now), "such as 2026-05-15T22:04:00+02:00"}
		}
	}
	off, err := p.openOffline(ctx, cfg.offlineConfig, false)
	if err != nil {
		return err
	}
	return off.closeAfter(p.weekOf(ctx, off, cfg, now))
}

func (p *program) weekOf(ctx context.Context, off *offline, cfg weekConfig, now time.Time) error {
	account, err := oneAccount(off.door, cfg.Account)
	if err != nil {
		return err
	}
	journal, ok := off.door.JournalOf(account.ID)
	if !ok {
		return &hinted{fmt.Errorf("week: %s has no journal yet", account.Name), "it begins with the first device that comes in"}
	}
	_, east := now.Zone()
	names := func(id string) string { return off.door.DeviceName(account.ID, auth.DeviceID(id)) }
	answer, err := server.Ask(ctx, off.store, journal, names, schema.Now{MS: now.UnixMilli(), OffsetMin: east / 60}, `{"q":"week"}`)
	if err != nil {
		return fmt.Errorf("week: reading the journal: %w", err)
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
}

// oneAccount finds the account meant: by its name, or the only one there is.
func oneAccount(door *auth.Door, name string) (auth.Account, error) {
	all := door.Accounts()
	if name != "" {
		if a, ok := door.AccountNamed(name); ok {
			return a, nil
		}
		return auth.Account{}, &hinted{fmt.Errorf("week: there is no account %q", name), "fairmeasure accounts list shows who is there"}
	}
	if len(all) == 1 {
		return all[0], nil
	}
	var names []string
	for _, a := range all {
		names = append(names, a.Name)
	}
	if len(names) == 0 {
		return auth.Account{}, &hinted{fmt.Errorf("week: there is no account yet"), "fairmeasure serve prints a link that makes the first"}
	}
	return auth.Account{}, &callError{"week: expected --account, because there are several: " + strings.Join(names, ", "), ""}
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
	Name, From, To          string
	Totals                  struct{ Alcohol weekAlcohol }
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
		Spread                                                       int `json:"spread_days"`
	}
	Checked    string
	CheckedOld bool `json:"checked_old"`
}

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
	say("One %s (%s) is %g g of alcohol.\n", w.Unit.Name, w.Unit.Country, w.Unit.Grams)
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
	say("\nOf the last seven days: alcohol on %d, none confirmed on %d, nothing logged on %d. Nothing logged is no proof of none.", w.LastSeven.Drinking, w.LastSeven.Free, w.LastSeven.Nothing)

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
			say("  %s %s: %.1f%s", s.Day, span, s.Alcohol.Drinks, pace)
		}
	}

	say("\nguidance")
	if !w.OnFile {
		say("  None is on file for %s; this is the World Health Organization's.", w.Country)
	}
	for _, g := range w.Guidance {
		say("  %s", strings.Join(nonEmpty(g.Issuer, yearOf(g.Year), statusWords[g.Status], g.Group), ", "))
		switch {
		case g.Comparator == "band":
			say("    the last seven days lie in its band %s", g.Note)
		case g.Amount == nil:
			say("    no number is given; the less, the lower the risk")
		default:
			say("    %s: %.1f is %s %g %s", strings.ReplaceAll(g.Period, "_", " "), *g.Amount, g.State, g.Limit, g.Unit)
		}
		if g.Spread > 0 {
			say("    its advice is to spread such an amount over %d days or more", g.Spread)
		}
	}
	say("  compared with its issuers in %s; for healthy adults, not medical advice", w.Checked)
	if w.CheckedOld {
		say("  that is over 18 months ago: there may be newer guidance")
	}
	_, err := io.WriteString(out, text.String())
	return err
}

func yearOf(year int) string {
	if year == 0 {
		return ""
	}
	return fmt.Sprint(year)
}

func nonEmpty(all ...string) (out []string) {
	for _, s := range all {
		if s != "" {
			out = append(out, s)
		}
	}
	return out
}
