package schema

import (
	"slices"
	"strings"

	"fairmeasure/journal"
	"fairmeasure/journal/count"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

// The longest look back of one answer, in days: a screen asks for more when it is scrolled to the end.
const (
	usualDays = 30
	mostDays  = 40_000
)

// days answers what was poured, by drinking day, the newest first.
func (j *Journal) days(q question) (any, error) {
	days := q.Days
	switch {
	case days == 0:
		days = usualDays
	case days < 0 || days > mostDays:
		return nil, journal.Refuse("out_of_range", "days", "expected 1 to %d days, got %d", mostDays, days)
	}
	first := j.today() - count.Day(days-1)
	// A session may have begun the day before; offsets move a day by at most one more.
	all := j.since((int64(first) - 3) * dayMS)
	out := journalJSON{Unit: j.drinkUnit(), Days: []journalDayJSON{}, Total: len(j.pourRefs())}
	sessions := count.Sessions(entries(all), j.counting())
	totals := count.Days(entries(all), j.counting())
	byDay := map[string]int{}
	places := placesOf(all)
	listed := map[count.Day][]drunk{} // all under one heading: a split session does not hide that the clocks were changed
	for _, s := range sessions {
		if s.Day >= first {
			listed[s.Day] = append(listed[s.Day], inSession(s, all, places)...)
		}
	}
	for i := len(sessions) - 1; i >= 0; i-- {
		s := sessions[i]
		if s.Day < first {
			continue
		}
		in := inSession(s, all, places)
		view := journalSessionJSON{Alcohol: j.alcohol(s.Total), Pours: []pourRowJSON{}}
		changed := clocksChanged(listed[s.Day])
		for _, d := range in {
			row := j.pourRow(d)
			if changed {
				row.UTC = offsetWord(d.pour.OffsetMin)
			}
			if matches(q.Text, row.Name, row.Version, row.Note, strings.Join(row.Tags, " ")) {
				view.Pours = append(view.Pours, row)
			}
		}
		if len(view.Pours) == 0 {
			continue
		}
		view.Since, view.Until = spanOf(in)
		day := s.Day.String()
		at, ok := byDay[day]
		if !ok {
			at = len(out.Days)
			byDay[day] = at
			out.Days = append(out.Days, journalDayJSON{Day: day, Alcohol: j.alcohol(totals[s.Day])})
		}
		out.Days[at].Sessions = slices.Insert(out.Days[at].Sessions, 0, view)
	}
	if refs := j.pourRefs(); len(refs) > 0 {
		out.More = j.Day(readPour(refs[len(refs)-1].e)) < first
	}
	return out, nil
}

// matches tells whether all words of a search are somewhere in these texts.
func matches(search string, texts ...string) bool {
	all := strings.ToLower(strings.Join(texts, "\n"))
	for _, word := range strings.Fields(strings.ToLower(search)) {
		if !strings.Contains(all, word) {
			return false
		}
	}
	return true
}

// waterOf gives what was measured of the water in a glass: by volume, else by the two weights.
func waterOf(p Pour) dilution.Water {
	if p.WaterUL.Known {
		if w, err := dilution.Poured(unit.Volume(p.WaterUL.Value)); err == nil {
			return w
		}
	}
	if p.BeforeMG.Known && p.AfterMG.Known {
		if w, err := dilution.Weighed(unit.Mass(p.BeforeMG.Value), unit.Mass(p.AfterMG.Value)); err == nil {
			return w
		}
	}
	return dilution.Water{}
}

// pourView answers what was in one glass. It reads what was written down then, never the spec as it is now.
func (j *Journal) pourView(q question) (any, error) {
	e, ok := j.shown(q.ID, "pour")
	if !ok {
		return nil, missing("pour", "id", q.ID)
	}
	p := readPour(e)
	out := pourJSON{
		Pour: j.pourRow(drunk{e, p, j.entry(e, p)}), Unit: j.drinkUnit(), Lines: []lineJSON{}, Clashes: list(j.clashesOf(e)),
		OffsetMin: int64(p.OffsetMin), Zone: p.Zone, Mark: string(p.Mark), ScoreScale: p.Scale, Terms: j.offeredTerms(),
	}
	if clocksChanged(j.around(p)) {
		out.Pour.UTC = offsetWord(p.OffsetMin)
	}
	if p.Plain() {
		out.VolumeML, out.ABVPercent = ml(p.Volume), percent(p.Strength)
		return out, nil
	}
	if v, veiled := j.veil(p.ID); veiled {
		out.Clashes, out.VolumeML = []clashJSON{}, ml(unit.Known(v.pour))
		return out, nil
	}
	made, err := journal.ParseMade(p.Made)
	if err != nil {
		return out, nil // written by a newer version, or broken: what can be told is told
	}
	out.Lines, out.Method, out.Ice = j.glassLines(made), string(made.Method), made.Ice
	b := j.balance(made, waterOf(p))
	out.Balance = &b
	out.VolumeML, out.ABVPercent = b.After.VolumeML.V, b.After.ABVPercent.V
	return out, nil
}

// around gives a pour and those of its drinking day, and those near enough to be of its session.
func (j *Journal) around(p Pour) (all []drunk) {
	day := j.Day(p)
	for _, ref := range j.pourRefs() {
		if ref.atMS < p.AtMS-2*dayMS {
			break
		}
		if ref.atMS > p.AtMS+2*dayMS {
			continue
		}
		other := readPour(ref.e)
		if gap := other.AtMS - p.AtMS; j.Day(other) == day || max(gap, -gap) <= int64(count.Gap) {
			all = append(all, drunk{e: ref.e, pour: other})
		}
	}
	return all
}

// madeName names a glass by what leads it.
func (j *Journal) madeName(made string) string {
	m, err := journal.ParseMade(made)
	if err != nil {
		return ""
	}
	var names []string
	for _, p := range m.Parts {
		if len(names) < 2 {
			names = append(names, p.Name)
		}
	}
	return strings.Join(names, ", ")
}

// termOf gives the flavour term that a field holds.
func termOf(field string) (string, bool) {
	key, ok := strings.CutPrefix(field, "tag.")
	if !ok {
		return "", false
	}
	return strings.ReplaceAll(key, "_", " "), true
}

// terms are offered for flavour, the owner's own first. Source of the built-in ones: testdata/reference/flavour_terms.csv,
// the families of taste, balance, mouthfeel and finish and the leading term of the others; checked by TestTerms.
var terms = []string{
	"too sweet", "too tart", "too strong", "too watery", "too bitter", "balanced", "thin middle", "silky", "astringent", "hot",
	"short", "long", "clean", "drying", "lemon peel", "pear", "quince", "green apple", "pineapple", "rose", "elderflower", "mint", "juniper",
	"oak", "clove", "wood smoke", "honey",
}

// offeredTerms gives the terms for the pour sheet: the owner's tags, those used before, the built-in ones.
func (j *Journal) offeredTerms() []string {
	var out []string
	seen := map[string]bool{}
	add := func(term string) {
		if term != "" && !seen[term] {
			seen[term] = true
			out = append(out, term)
		}
	}
	j.each("tag", func(e *replica.Entity) { add(textOf(row{e}, "name")) })
	for i, ref := range j.pourRefs() {
		if i >= 200 {
			break
		}
		for _, term := range tagsOf(ref.e) {
			add(term)
		}
	}
	for _, t := range terms {
		add(t)
	}
	return out
}
