package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"

	"golang.org/x/text/unicode/norm"

	"fairmeasure/journal"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
)

type checkConfig struct {
	// Method is how the drink is mixed: it decides how much water it takes up.
	Method string
	// JSON prints one JSON object instead of a table.
	JSON bool
	// Country decides the standard drink and the ounce; empty is the WHO's and the bar ounce of 30 ml.
	Country string
}

var methods = []journal.Method{journal.Shaken, journal.Stirred, journal.Built, journal.Long, journal.Thrown, journal.Swizzled, journal.Flash,
	journal.Blended, journal.Whipped, journal.Dry, journal.Freezer, journal.Neat, journal.Carbonated}

var checkCommand = command{
	name: "check",
	does: "weigh typed lines: volume, strength, alcohol, sugar, acid",
	help: `
fairmeasure check --method shaken [FILE]

Reads one line of the drink per line of FILE, or of standard input, such as "45 ml gin, 44 %", and prints its balance
before and after the water of the ice, each figure with the lowest and highest it may well be. Empty lines and lines that
begin with # are passed over. Exit code 1 when a line cannot be read.`,
	options: func(o *options) {
		cfg := &checkConfig{}
		o.cfg = cfg
		o.maxArgs = 1
		names := make([]string, len(methods))
		for i, m := range methods {
			names[i] = string(m)
		}
		o.flags.StringVar(&cfg.Method, "method", "", "`METHOD` of mixing: "+strings.Join(names, ", ")+".")
		o.flags.BoolVar(&cfg.JSON, "json", false, "Print JSON. Keys carry their unit; a figure has value, low and high, and at_least where what is unknown comes on top.")
		o.flags.StringVar(&cfg.Country, "country", "", "`CODE` of the country whose standard drink is counted, such as GB. Without it the WHO's 10 g.")
		for _, name := range []string{"method", "json"} {
			o.local[name] = true
		}
	},
	run: func(_ context.Context, p *program, o *options) error {
		file := ""
		if len(o.args) > 0 {
			file = o.args[0]
		}
		return p.check(*o.cfg.(*checkConfig), file)
	},
}

// maxCheckInput is far above any drink.
const maxCheckInput = 64 << 10

func (p *program) check(cfg checkConfig, file string) error {
	if !slices.Contains(methods, journal.Method(cfg.Method)) {
		came := "got none"
		if cfg.Method != "" {
			came = "got " + strconv.Quote(cfg.Method)
		}
		return &callError{"check: expected --method, " + came, "fairmeasure help check lists the methods, shaken and stirred among them"}
	}
	in := p.stdin
	if file != "" && file != "-" {
		f, err := os.Open(file)
		if err != nil {
			return &callError{"check: " + err.Error(), "without a file it reads standard input"}
		}
		defer f.Close()
		in = f
	}
	raw, err := io.ReadAll(io.LimitReader(in, maxCheckInput+1))
	if err != nil {
		return fmt.Errorf("reading the lines: %w", err)
	}
	if len(raw) > maxCheckInput {
		return &callError{fmt.Sprintf("check: expected the lines of one drink, got more than %d bytes", maxCheckInput), ""}
	}
	var typed []string
	var at []int
	for i, line := range strings.Split(norm.NFC.String(string(raw)), "\n") {
		line = strings.TrimSpace(strings.TrimPrefix(line, "\ufeff"))
		if line != "" && !strings.HasPrefix(line, "#") {
			typed, at = append(typed, line), append(at, i+1)
		}
	}
	if len(typed) == 0 {
		return &callError{"check: expected at least one line, got none", `such as "45 ml gin, 44 %"`}
	}
	answer, err := weigh(typed, cfg)
	if err != nil {
		return err
	}
	bad := false
	for i, l := range answer.Lines {
		if !l.OK {
			fmt.Fprintf(p.stderr, "line %d: %s\n", at[i], l.Refusal.Text)
			bad = true
		}
	}
	if bad || answer.Balance == nil {
		return &hinted{errors.New("check: not every line could be read"), `a line is an amount, a unit and what it is: "¾ oz lemon juice", "2 dashes orange bitters"`}
	}
	if cfg.JSON {
		return printJSON(p.stdout, typed, answer)
	}
	return printTable(p.stdout, answer)
}

// nothing is a journal with nothing in it but the country.
type nothing struct{ country *replica.Entity }

func (n nothing) Get(id replica.ID) (*replica.Entity, bool) {
	if n.country != nil && id == n.country.ID {
		return n.country, true
	}
	return nil, false
}

func (n nothing) Each(kind string, fn func(*replica.Entity) bool) {
	if n.country != nil && kind == n.country.Kind {
		fn(n.country)
	}
}

func (nothing) DeviceOf(replica.Run) string { return "" }

// draft is what the core answers to lines being typed; see DraftAnswer in pwa/src/shared/core.ts.
type draft struct {
	Lines []struct {
		OK      bool `json:"ok"`
		Refusal struct {
			Text string `json:"text"`
		} `json:"refusal"`
	} `json:"lines"`
	Balance *struct {
		Before  figures `json:"before"`
		After   figures `json:"after"`
		Water   figure  `json:"water_ml"`
		Percent figure  `json:"water_percent_of_start"`
		Basis   string  `json:"basis"`
		Usual   map[string]struct {
			Low  float64 `json:"lo"`
			High float64 `json:"hi"`
		} `json:"usual"`
		Verdict map[string]string `json:"verdict"`
		Remarks []struct {
			Code  string   `json:"code"`
			Names []string `json:"names"`
		} `json:"remarks"`
	} `json:"balance"`
	Alcohol *struct {
		Grams   float64 `json:"grams"`
		Drinks  float64 `json:"drinks"`
		AtLeast bool    `json:"at_least"`
	} `json:"alcohol"`
	Unit struct {
		Country string  `json:"country"`
		Name    string  `json:"name"`
		Grams   float64 `json:"grams"`
		// The country has no row of its own.
		Fallback bool `json:"fallback"`
	} `json:"unit"`
}

type figure struct {
	Value    *float64 `json:"v"`
	Low      *float64 `json:"lo"`
	High     *float64 `json:"hi"`
	AtLeast  bool     `json:"at_least"`
	Decimals int      `json:"dec"`
}

type figures struct {
	Volume   figure `json:"volume_ml"`
	Strength figure `json:"abv_percent"`
	Alcohol  figure `json:"alcohol_g"`
	Sugar    figure `json:"sugar_g_per_100ml"`
	Acid     figure `json:"acid_percent"`
}

// weigh asks the core the question the app asks while a spec is typed.
func weigh(typed []string, cfg checkConfig) (draft, error) {
	question, err := json.Marshal(map[string]any{"q": "draft", "lines": typed, "method": cfg.Method})
	if err != nil {
		return draft{}, fmt.Errorf("asking the core: %w", err)
	}
	var view nothing
	if cfg.Country != "" {
		stamp, _ := replica.ParseStamp("AAAAAAAAAAA.1")
		view.country = &replica.Entity{ID: "set.country", Kind: "set", Fields: map[string][]replica.Write{
			"value": {{Stamp: stamp, Value: replica.Text(strings.ToUpper(cfg.Country))}},
		}}
	}
	raw, err := schema.Ask(view, schema.Now{}, question)
	if err != nil {
		var refusal *journal.Refusal
		if errors.As(err, &refusal) {
			return draft{}, &callError{"check: " + refusal.Text, ""}
		}
		return draft{}, fmt.Errorf("asking the core: %w", err)
	}
	var answer draft
	if err := json.Unmarshal(raw, &answer); err != nil {
		return draft{}, fmt.Errorf("reading the core's answer: %w", err)
	}
	if cfg.Country != "" && answer.Unit.Fallback {
		return draft{}, &callError{fmt.Sprintf("check: no standard drink is on file for --country %q", cfg.Country), "expected two letters, such as GB; without it the WHO's 10 g is counted"}
	}
	return answer, nil
}

// outFigure is how a figure is printed as JSON: null where it is not known.
type outFigure struct {
	Value   *float64 `json:"value"`
	Low     *float64 `json:"low"`
	High    *float64 `json:"high"`
	AtLeast bool     `json:"at_least,omitempty"`
}

type outFigures struct {
	Volume   outFigure `json:"volume_ml"`
	Strength outFigure `json:"abv_percent"`
	Alcohol  outFigure `json:"alcohol_g"`
	Sugar    outFigure `json:"sugar_g_per_100ml"`
	Acid     outFigure `json:"acid_percent"`
}

// outDrinks is a count of standard drinks as JSON: that of the table, with its "at least" as a flag.
type outDrinks struct {
	Value   float64 `json:"value"`
	AtLeast bool    `json:"at_least,omitempty"`
}

func outOf(f figure) outFigure { return outFigure{f.Value, f.Low, f.High, f.AtLeast} }

func outAll(f figures) outFigures {
	return outFigures{outOf(f.Volume), outOf(f.Strength), outOf(f.Alcohol), outOf(f.Sugar), outOf(f.Acid)}
}

func printJSON(w io.Writer, typed []string, a draft) error {
	type remark struct {
		Code  string   `json:"code"`
		Names []string `json:"names"`
	}
	out := struct {
		Lines     []string   `json:"lines"`
		Before    outFigures `json:"before"`
		After     outFigures `json:"after"`
		Water     outFigure  `json:"water_ml"`
		Percent   outFigure  `json:"water_percent_of_start"`
		Basis     string     `json:"basis"`
		Drinks    *outDrinks `json:"standard_drinks"`
		DrinkUnit struct {
			Country string  `json:"country"`
			Grams   float64 `json:"alcohol_g"`
		} `json:"standard_drink"`
		Remarks []remark `json:"remarks"`
	}{Lines: typed, Before: outAll(a.Balance.Before), After: outAll(a.Balance.After), Water: outOf(a.Balance.Water),
		Percent: outOf(a.Balance.Percent), Basis: a.Balance.Basis, Remarks: []remark{}}
	if a.Alcohol != nil {
		out.Drinks = &outDrinks{a.Alcohol.Drinks, a.Alcohol.AtLeast}
	}
	out.DrinkUnit.Country, out.DrinkUnit.Grams = a.Unit.Country, a.Unit.Grams
	for _, r := range a.Balance.Remarks {
		out.Remarks = append(out.Remarks, remark{r.Code, r.Names})
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(out)
}

var basisWords = map[string]string{
	"measured": "measured",
	"curve":    "worked out from the strength by a published curve, give or take a quarter",
	"energy":   "worked out by a balance of heat, give or take a quarter",
	"habit":    "bar habit for this method: the middle of a wide row, the whole row as band",
	"none":     "none is added this way",
}

func printTable(w io.Writer, a draft) error {
	b := a.Balance
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprint(t, "\tbefore\t\tin the glass\t\tusual\n")
	row := func(name string, before, after figure, key string) {
		usual := ""
		if u, ok := b.Usual[key]; ok {
			usual = fmt.Sprintf("%s–%s %s", number(u.Low), number(u.High), b.Verdict[key])
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\n", name, value(before), band(before), value(after), band(after), usual)
	}
	row("volume, ml", b.Before.Volume, b.After.Volume, "volume_ml")
	row("strength, % vol", b.Before.Strength, b.After.Strength, "abv_percent")
	row("alcohol, g", b.Before.Alcohol, b.After.Alcohol, "")
	row("sugar, g/100 ml", b.Before.Sugar, b.After.Sugar, "sugar_g_per_100ml")
	row("acid, %", b.Before.Acid, b.After.Acid, "acid_percent")
	row("water, ml", figure{}, b.Water, "")
	row("water, % of start", figure{}, b.Percent, "water_percent_of_start")
	if err := t.Flush(); err != nil {
		return fmt.Errorf("printing: %w", err)
	}
	fmt.Fprintf(w, "\nwater: %s\n", basisWords[b.Basis])
	if a.Alcohol != nil {
		least := ""
		if a.Alcohol.AtLeast {
			least = "at least "
		}
		fmt.Fprintf(w, "standard drinks: %s%.1f of %s g (%s)\n", least, a.Alcohol.Drinks, number(a.Unit.Grams), a.Unit.Country)
	}
	if len(b.Usual) > 0 {
		fmt.Fprintln(w, "usual: where one author's drinks of this method lie, from memory; no judgement")
	}
	for _, r := range b.Remarks {
		fmt.Fprintf(w, "note: %s\n", strings.TrimSuffix(strings.ReplaceAll(r.Code, "_", " ")+": "+strings.Join(r.Names, ", "), ": "))
	}
	return nil
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func value(f figure) string {
	switch {
	case f.Value == nil && f.AtLeast && f.Low != nil:
		return "at least " + strconv.FormatFloat(*f.Low, 'f', f.Decimals, 64)
	case f.Value == nil:
		return "–"
	case f.AtLeast:
		return "at least " + strconv.FormatFloat(*f.Value, 'f', f.Decimals, 64)
	}
	return strconv.FormatFloat(*f.Value, 'f', f.Decimals, 64)
}

func band(f figure) string {
	if f.Value == nil || f.Low == nil || f.High == nil || *f.Low == *f.High {
		return ""
	}
	return "(" + strconv.FormatFloat(*f.Low, 'f', f.Decimals, 64) + "–" + strconv.FormatFloat(*f.High, 'f', f.Decimals, 64) + ")"
}
