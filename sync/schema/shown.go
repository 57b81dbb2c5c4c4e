package schema

import (
	"slices"
	"strings"

	"fairmeasure/journal"
	"fairmeasure/journal/balance"
	"fairmeasure/journal/caution"
	"fairmeasure/journal/count"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/line"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

func round(x float64, decimals int) float64 { return balance.Round(x, decimals) }

// ml gives a volume in millilitres, or nothing where it is not known. Microlitres are thousandths, so nothing is lost.
func ml(v unit.Maybe[unit.Volume]) *float64 {
	if !v.Known {
		return nil
	}
	n := round(v.Value.ML(), 3)
	return &n
}

func percent(s unit.Maybe[unit.Strength]) *float64 {
	if !s.Known {
		return nil
	}
	n := round(s.Value.Percent(), 2)
	return &n
}

// idJSON gives an id, or nothing for none.
func idJSON(id replica.ID) *string {
	if id == "" {
		return nil
	}
	s := string(id)
	return &s
}

func maybe[T any](m unit.Maybe[T]) *T {
	if !m.Known {
		return nil
	}
	return &m.Value
}

func textJSON(s string) *string {
	if s == "" {
		return nil
	}
	return &s
}

func figureOf(f balance.Figure) figureJSON {
	f = f.Rounded()
	out := figureJSON{AtLeast: f.AtLeast, Dec: f.Decimals}
	if f.Known || f.AtLeast {
		out.V = &f.Value
	}
	if f.Known || f.AtLeast || f.Between {
		out.Lo, out.Hi = &f.Low, &f.High
	}
	if f.AtLeast {
		out.Hi = nil // what is not known comes on top
	}
	return out
}

// balance reckons a glass and sets it for reading. Water that was not measured is what the owner's drinks have.
func (j *Journal) balance(made journal.Made, water dilution.Water) balanceJSON {
	if !water.Volume().Known {
		water = j.expected(made)
	}
	r := balance.Of(made, water)
	density := count.Profile(j.Settings().Country).Density
	alcohol := figureOf(r.AlcoholGrams(density))
	figures := func(f balance.Figures) figuresJSON {
		return figuresJSON{
			VolumeML: figureOf(f.Volume), ABVPercent: figureOf(f.Strength), AlcoholG: alcohol,
			SugarPer100: figureOf(f.Sugar), AcidPercent: figureOf(f.Acid), SugarPerAcid: figureOf(f.SugarToAcid),
		}
	}
	out := balanceJSON{
		Method: string(made.Method), Before: figures(r.Before), After: figures(r.After),
		WaterML: figureOf(r.Dilution.Water), WaterPercentOfStart: figureOf(r.Dilution.OfStart), Basis: basisOf(r.Dilution.Basis),
		ColdestC: figureOf(r.Coldest),
		Usual:    map[string]usualJSON{}, Verdict: map[string]string{}, Why: map[string][]shareJSON{},
		Remarks: remarksOf(r, made),
	}
	for key, of := range map[string]struct {
		usual   balance.Range
		verdict balance.Verdict
	}{
		"abv_percent":            {r.Ranges.Strength, r.Verdicts.Strength},
		"sugar_g_per_100ml":      {r.Ranges.Sugar, r.Verdicts.Sugar},
		"acid_percent":           {r.Ranges.Acid, r.Verdicts.Acid},
		"water_percent_of_start": {r.Ranges.Dilution, r.Verdicts.Dilution},
		"volume_ml":              {r.Ranges.Volume, r.Verdicts.Volume},
	} {
		if of.usual.Known {
			out.Usual[key] = usualJSON{of.usual.Low, of.usual.High}
			out.Verdict[key] = string(of.verdict)
		}
	}
	for key, of := range map[string]struct {
		quantity balance.Quantity
		perLitre float64 // from the contribution's concentration to grams per litre
		amount   float64 // from its amount to the figure's
	}{
		"alcohol_g":         {balance.OfAlcohol, float64(density) / 100, float64(density) / 1000},
		"sugar_g_per_100ml": {balance.OfSugar, 10, 1},
		"acid_percent":      {balance.OfAcid, 10, 1},
		"volume_ml":         {balance.OfVolume, 0, 1},
	} {
		out.Why[key] = sharesOf(r.Explain(of.quantity), of.perLitre, of.amount)
	}
	return out
}

// sharesOf sets the parts of a figure for reading; what adds nothing that shows is left out.
func sharesOf(all []balance.Contribution, perLitre, amount float64) []shareJSON {
	out := []shareJSON{}
	for _, c := range all {
		decimals := max(1, c.Amount.Decimals)
		if c.Water || c.Amount.Known && round(c.Amount.Value*amount, decimals) == 0 {
			continue
		}
		s := shareJSON{Name: c.Name, Typical: c.TypicalConcentration}
		if c.Volume.Known {
			v := round(c.Volume.Value, 1)
			s.VolumeML = &v
		}
		if c.Concentration.Known && perLitre > 0 {
			v := round(c.Concentration.Value*perLitre, 0)
			s.PerLitre = &v
		}
		if c.Amount.Known {
			v := round(c.Amount.Value*amount, decimals)
			s.Amount = &v
		}
		out = append(out, s)
	}
	return out
}

func basisOf(b dilution.Basis) string {
	switch b {
	case dilution.Measured, dilution.Habit:
		return string(b)
	case dilution.Own:
		return "own"
	case dilution.Curve:
		return "curve"
	case dilution.Energy:
		return "energy"
	}
	return "none"
}

// remarksOf gives each caution once, with the names it is about.
func remarksOf(r balance.Result, made journal.Made) []remarkJSON {
	all := remarks{}
	for _, m := range r.Remarks {
		switch m.Code {
		case balance.StrengthUnknown:
			all.add("strength_unknown", m.Name)
		case balance.SugarUnknown:
			all.add("sugar_unknown", m.Name)
		case balance.AcidUnknown:
			all.add("acid_unknown", m.Name)
		case balance.AmountOpen:
			all.add("open_amount", m.Name)
		case string(dilution.BelowCurve), string(dilution.AboveCurve):
			all.add("outside_curve", "")
		case string(dilution.MethodUnknown), balance.MeltTooLittle, balance.MeltTooMuch:
			all.add(m.Code, "")
		}
	}
	for _, p := range made.Parts {
		if p.Open == journal.Measured && p.Volume.Known && p.Volume.Value.Low != p.Volume.Value.High {
			all.add("estimate", p.Name)
		}
		if caution.RawEgg(p.Name) {
			all.add("raw_egg", "")
		}
	}
	return all
}

type remarks []remarkJSON

func (all *remarks) add(code, name string) {
	i := 0
	for i < len(*all) && (*all)[i].Code != code {
		i++
	}
	if i == len(*all) {
		*all = append(*all, remarkJSON{code, []string{}})
	}
	if names := &(*all)[i].Names; name != "" && !slices.Contains(*names, name) {
		*names = append(*names, name)
	}
}

// amountOf is the amount of a line as typed, set for reading, without its unit: "¾", "8–10", "about 45"; empty when open.
func amountOf(l line.Line) string {
	s := l.AmountTyped()
	if s == "" {
		return ""
	}
	switch l.Unit {
	case line.Piece, line.Fruit:
	default:
		if i := strings.LastIndexByte(s, ' '); i >= 0 {
			s = s[:i]
		}
	}
	return strings.ReplaceAll(s, "-", "–")
}

// lineView sets one line for reading. sized is the line with the volume it has in its spec.
func (j *Journal) lineView(l Line, sized line.Line) lineJSON {
	c, typical := j.content(l)
	out := lineJSON{
		ID: string(l.ID), Amount: amountOf(l.Line), Unit: string(l.Unit), Name: l.Calls(), Note: l.Note, Typed: l.Typed,
		Estimate: l.Estimate, Open: string(l.Open), Ingredient: idJSON(l.Ingredient), Assumed: slices.Clone(list(l.Assumed)),
	}
	if sized.Volume.Known {
		out.VolumeML = ml(unit.Known(sized.Volume.Value.Value))
	}
	if c.Strength.Known {
		out.ABVPercent = percent(unit.Known(c.Strength.Value.Value))
		if typical && !l.Strength.Known && c.Strength.Value.Low != c.Strength.Value.High {
			out.Assumed = append(out.Assumed, "strength")
		}
	}
	return out
}

// versionLines sets the lines of a version for reading, with their clashes and with marks where they differ from those of
// the spec they are a riff of.
func (j *Journal) versionLines(v Version) []lineJSON {
	var before []Line
	if v.Spec.Parent != "" {
		before = j.Lines(v.Spec.Parent)
	}
	out := []lineJSON{}
	for i, sized := range v.sized() {
		l := v.Lines[i]
		view := j.lineView(l, sized)
		if len(before) > 0 {
			from, ok := counterpart(l, before)
			view.Changed = !ok || !j.sameLine(l, from)
		}
		if e, ok := j.view.Get(l.ID); ok && e.Kind == "line" {
			if group := Group("line", "typed"); replica.ClashGroup(e, group) {
				view.Clash = true
				view.Or = textJSON(otherLine(l.Line, replica.Versions(e, group)))
			}
		}
		out = append(out, view)
	}
	return out
}

// otherLine is the first rival of a line that says something else: "20 ml" if only the amount differs, else all of it.
func otherLine(shown line.Line, versions []replica.Version) string {
	for _, v := range versions {
		l, _ := lineFrom(version{v})
		if l.Typed == shown.Typed {
			continue
		}
		if l.Calls() == shown.Calls() && l.Strength == shown.Strength && l.Qty.Known {
			return strings.ReplaceAll(l.AmountTyped(), "-", "–")
		}
		return l.Typed
	}
	return ""
}

// counterpart finds the line of a parent that a line was copied from.
func counterpart(l Line, parent []Line) (Line, bool) {
	for _, p := range parent {
		if p.ID == l.Of || p.ID == l.ID {
			return p, true
		}
	}
	return Line{}, false
}

// sameLine tells whether two lines put the same into the glass.
func (j *Journal) sameLine(a, b Line) bool {
	one := func(l Line) string { return j.key(Version{Lines: []Line{l}}) }
	return one(a) == one(b)
}

// glassLines sets what was in a glass for reading: its parts as they were poured.
func (j *Journal) glassLines(made journal.Made) []lineJSON {
	out := []lineJSON{}
	for i, p := range made.Parts {
		l := lineJSON{
			ID: "part." + itoa(i), Unit: string(line.Millilitre), Name: p.Name, Open: string(p.Open), Ingredient: idJSON(replica.ID(p.Ingredient)),
			Assumed: []string{},
		}
		if p.Volume.Known {
			v := p.Volume.Value
			l.VolumeML = ml(unit.Known(v.Value))
			l.Estimate = v.Low != v.High
			if v.Value == 0 && v.Low == v.High {
				l.VolumeML, l.Unit = nil, string(line.Piece)
			} else if p.Open == journal.Measured {
				l.Amount = strings.TrimSuffix(line.Amount(v.Value, line.Millilitre, ""), " ml")
			}
		}
		if p.Content.Strength.Known {
			l.ABVPercent = percent(unit.Known(p.Content.Strength.Value.Value))
		}
		out = append(out, l)
	}
	return out
}
