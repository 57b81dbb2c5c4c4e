package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"fairmeasure/sync/schema"
)

// sayWords put what the data says into a sentence, as the app does; before is the code said just before.
func sayWords(code, before, names string, d, lo, hi *float64) string {
	by, best := "", ""
	if d != nil && lo != nil && hi != nil {
		by = fmt.Sprintf(" by about %.1f (likely between %.1f and %.1f)", math.Abs(*d), *lo, *hi)
		best = fmt.Sprintf(", %s (likely %s)", signed(*d), between(*lo, *hi))
	}
	switch code {
	case "ahead":
		return names + " is ahead of your benchmark" + by + "."
	case "confirmed":
		return names + " is better than your benchmark" + by + "; a second flight confirmed it."
	case "no_better":
		return "Nothing tasted so far is shown to be better than your benchmark."
	case "needs_more":
		switch {
		case before == "ahead":
			return "One flight so far. Tasted in another, it is confirmed or it is not."
		case names == "":
			return "Not enough data to tell yet."
		}
		return "Not enough data to tell yet. Best so far: " + names + best + "."
	case "apart":
		return "Some of these have never met in one flight, so they cannot be set against each other yet:"
	case "ask_anchor":
		if d == nil {
			return "Your benchmark is declared so high that hardly anything can score above it."
		}
		far := "lower"
		if *d > 0 {
			far = "higher"
		}
		return fmt.Sprintf("Your benchmark, tasted without knowing it, scored %.1f %s than you had declared. Is it worth something else now?", math.Abs(*d), far)
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
		scored := "scored " + scoreWords(f.Scores)
		if !slices.Equal(f.Scores, f.Todays) {
			scored += ", on today's scale " + scoreWords(f.Todays)
		}
		all = append(all, scored)
		for _, mind := range []struct {
			so   bool
			says string
		}{
			{f.NotBlind, "not blind"}, {f.Guess && !f.Benchmark, "a guess so far"}, {f.Together, "better together than its bottles suggest"},
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
	before := ""
	for _, it := range c.Say {
		say("  %s", sayWords(it.Code, before, strings.Join(nonEmpty(it.Names...), " + "), it.D, it.Lo, it.Hi))
		if before = it.Code; before == "apart" {
			for _, names := range c.Groups {
				say("    %s", strings.Join(names, ", "))
			}
		}
	}
	if c.Scored > 0 {
		say("\nBest first, in points to the benchmark")
		c.printFindings(&text, quiet)
		for _, s := range c.Swaps {
			if s.Addition {
				say("\nWhat an addition adds, in points")
			} else {
				say("\nWhat each adds instead of %s, in points", s.LineName)
			}
			printBrings(&text, s.Effects, quiet)
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

// printRest prints what else the scores tell, and what was written down beside them.
func (c comparisonAnswer) printRest(say func(string, ...any)) {
	if len(c.Families) > 0 {
		say("\nWhich kind does better, beside the kind of the benchmark's own")
		for _, f := range c.Families {
			verdict := "no clear difference"
			switch {
			case f.Lo > 0:
				verdict = "does better"
			case f.Hi < 0:
				verdict = "does worse"
			}
			say("  %s beside %s: %s (%s), %s", familyWords(f.Family), familyWords(f.Than), signed(f.D), between(f.Lo, f.Hi), verdict)
		}
	}
	if len(c.Interactions) > 0 {
		say("\nBetter together: scored higher than what their ingredients add by themselves")
		for _, i := range c.Interactions {
			say("  %s: %s beyond it", pairingName(i.Names), signed(i.D))
		}
	}
	var priced []finding
	for _, f := range c.Findings {
		if f.OnFront && f.Price != nil {
			priced = append(priced, f)
		}
	}
	if len(priced) > 0 {
		say("\nScore against price of a glass: nothing tasted is both cheaper and better than")
		for _, f := range priced {
			per := ""
			if f.PricePerPoint != nil {
				per = fmt.Sprintf(", %s for each point above the benchmark", schema.PriceText(*f.PricePerPoint, f.Currency))
			}
			say("  %s: %s%s", pairingName(f.Names), schema.PriceText(*f.Price, f.Currency), per)
		}
	}
	if r := c.Ranks; r != nil {
		verdict := "No order is shown by these flights"
		if r.Shown {
			verdict = "An order is shown: some do better again and again"
		}
		say("\nDoes the order hold: the same glasses, ranked by their scores in each of %d flights", r.Flights)
		say("  %s; %s.", verdict, chanceWords(r.Chance))
		for _, row := range r.Rows {
			say("  %s: places added up %g", pairingName(row.Names), row.Sum)
		}
	}
	if len(c.Choices) > 0 {
		say("\nHow often each is chosen over the benchmark, beside the scores")
		for _, k := range c.Choices {
			if k.Lo == 0 && k.Hi == 0 {
				continue // the benchmark itself
			}
			say("  %s: %d %% (likely %d to %d %%)", pairingName(k.Names), often(k.Ability), often(k.Lo), often(k.Hi))
		}
	}
	if len(c.Trials) > 0 {
		say("\nBlind trials")
		for _, t := range c.Trials {
			what, least := fmt.Sprintf("%s against %s: %s chosen %d of %d times", t.A, t.B, t.A, t.First, t.N), 6
			if t.Sort == "triangle" {
				what, least = fmt.Sprintf("%s told apart from %s: the odd glass of three found %d of %d times; guessing finds a third", t.A, t.B, t.First, t.N), 3
			}
			verdict := "not shown by these trials"
			switch {
			case t.Shown:
				verdict = "shown"
			case t.N < least:
				verdict += fmt.Sprintf("; fewer than %d cannot show anything", least)
			}
			say("  %s\n         %s; likely %d to %d %% in the long run; %s", what, verdict, t.Lo, t.Hi, chanceWords(t.Chance))
		}
	}
	if len(c.Panel) > 0 {
		say("\nFriends: shown, and counted in nothing")
		for _, f := range c.Panel {
			scores := "1 score"
			if f.N != 1 {
				scores = fmt.Sprintf("%d scores", f.N)
			}
			say("  %s: %s, highest: %s", f.Taster, scores, f.Top)
		}
	}
	if len(c.Flights) > 0 {
		say("\nFlights")
		for _, f := range c.Flights {
			state := map[string]string{"planned": ", set up, not begun", "running": ", is on"}[f.State]
			say("  %s: %d of %d scored%s, %s", f.Day, f.Scored, f.Seats, state, f.Sight)
		}
	}
}

// often tells how many of a hundred choices between it and the benchmark are for it: an ability is the logarithm of those
// odds.
func often(ability float64) int { return int(math.Round(100 / (1 + math.Exp(-ability)))) }

func chanceWords(percent int) string {
	switch percent {
	case 0:
		return "chance alone does as well less than once in a hundred"
	case 1:
		return "chance alone does as well once in a hundred"
	}
	return fmt.Sprintf("chance alone does as well %d times in a hundred", percent)
}

func familyWords(key string) string { return strings.ReplaceAll(key, "_", " ") }
