package schema

import (
	"slices"

	"fairmeasure/journal"
	"fairmeasure/journal/count"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

// pourRow sets one pour for a list.
func (j *Journal) pourRow(d drunk) pourRowJSON {
	p := d.pour
	var alcohol count.Total
	if !d.entry.ForOther {
		alcohol = count.Total{UL: d.entry.UL, Unknown: d.entry.Unknown, About: d.entry.About, LeastUL: d.entry.UL, MostUL: d.entry.UL}
		for _, r := range d.entry.Rivals {
			alcohol.LeastUL, alcohol.MostUL = min(alcohol.LeastUL, r), max(alcohol.MostUL, r)
		}
	}
	out := pourRowJSON{
		ID: string(p.ID), AtMS: p.AtMS, Time: clock(p.AtMS, p.OffsetMin), Day: j.Day(p).String(), Plain: p.Plain(),
		ShareBP: int64(p.Share), ScoreX10: maybe(p.ScoreX10), Alcohol: j.alcohol(alcohol), Note: p.Note, Tags: tagsOf(d.e),
		Spec: idJSON(p.Spec), Drink: idJSON(p.Drink), Clash: len(clashingFields(d.e)) > 0,
		DeletedChanged: replica.Deleted(d.e).Asks(), About: p.About, Mark: string(p.Mark),
	}
	out.Name, out.Version = j.pourName(p)
	out.Benchmark = out.Version == benchmarkWord
	if _, veiled := j.veil(p.ID); veiled {
		out.Spec = nil
	}
	return out
}

// pourName gives what a pour is called, and which version of it.
func (j *Journal) pourName(p Pour) (name, version string) {
	if v, veiled := j.veil(p.ID); veiled {
		return v.name, v.version
	}
	if s, ok := j.specAt(p.Spec); ok && !p.Plain() {
		version = j.versionName(s)
	}
	return j.called(p), version
}

// called gives what a pour is called. A spec or drink that is not here leaves what was in the glass to name it.
func (j *Journal) called(p Pour) string {
	if p.Plain() {
		return p.Name
	}
	if v, veiled := j.veil(p.ID); veiled {
		return v.name
	}
	if s, ok := j.specAt(p.Spec); ok {
		return j.drinkName(s)
	}
	if d, ok := j.Drink(p.Drink); ok {
		return d.Name
	}
	return j.madeName(p.Made)
}

// tagsOf gives a pour's flavour terms as words, in order.
func tagsOf(e *replica.Entity) []string {
	out := []string{}
	for f := range e.Fields {
		if term, ok := termOf(f); ok && truthOf(row{e}, f) {
			out = append(out, term)
		}
	}
	slices.Sort(out)
	return out
}

// tonight answers what this evening comes to, and what is nearest to pour.
func (j *Journal) tonight(question) (any, error) {
	all := j.since(j.now.MS - recent)
	r := j.report(all)
	out := tonightJSON{
		Unit: j.drinkUnit(), NowDay: j.today().String(), Quiet: j.Settings().Quiet, Heavy: r.Heavy,
		Plains: []plainJSON{}, Specs: []specChoiceJSON{}, Clashes: len(j.clashes()),
	}
	so := running(r)
	from := j.now.MS - 12*60*60_000 // water of an evening without a session: the last twelve hours
	if r.Running.Known {
		s := r.Running.Value
		out.Session = j.session(s, all)
		from = s.FirstMS - int64(count.Gap)
	} else {
		out.Ended = j.ended(r, all)
	}
	out.WaterML = j.water(from)
	brings := func(t count.Total) alcoholJSON { return j.alcohol(plus(so, t)) }

	if last, ok := j.again(all); ok {
		t := glassTotal(j.alcoholOf(last), last.Share)
		a := &againJSON{Pour: string(last.ID), Plain: last.Plain(), WouldBring: brings(t), Passes: j.passed(all, t)}
		a.Name, a.Version = j.pourName(last)
		if _, ok := j.Spec(last.Spec); ok {
			a.Spec = idJSON(last.Spec)
		}
		out.Again = a
	}
	for _, p := range j.presets() {
		t := glassTotal(p.alcohol, unit.Whole)
		p.WouldBring, p.Passes = brings(t), j.passed(all, t)
		out.Plains = append(out.Plains, p.plainJSON)
	}
	if out.Quiet {
		without := func(p plainJSON) int {
			if p.ABVPercent != nil && *p.ABVPercent == 0 {
				return 0
			}
			return 1
		}
		inOrder(out.Plains, func(a, b plainJSON) int { return without(a) - without(b) })
	}
	out.Specs = j.nearest(func(t count.Total) (alcoholJSON, []guidelineJSON) { return brings(t), j.passed(all, t) })
	return out, nil
}

// ended gives the newest session that ended within twelve hours, if anything was drunk in it.
func (j *Journal) ended(r count.WeekReport, all []drunk) *endedJSON {
	for i := len(r.Sessions) - 1; i >= 0; i-- {
		s := r.Sessions[i]
		if s.LastMS > j.now.MS || s.Total.Entries == 0 {
			continue
		}
		if j.now.MS-s.LastMS > 12*60*60_000 {
			break
		}
		out := &endedJSON{Totals: totalsJSON{j.alcohol(s.Total), len(s.IDs)}}
		out.Since, out.Until = spanOf(inSession(s, all, placesOf(all)))
		return out
	}
	return nil
}

// spanOf gives the local times of the first and the last of some pours, each where it was lived.
func spanOf(in []drunk) (since, until string) {
	first, last := in[0].pour, in[len(in)-1].pour
	return clock(first.AtMS, first.OffsetMin), clock(last.AtMS, last.OffsetMin)
}

// again gives the glass to offer once more: the newest that the owner drank of, and knows.
func (j *Journal) again(all []drunk) (Pour, bool) {
	for _, d := range all {
		if _, veiled := j.veil(d.pour.ID); veiled {
			continue
		}
		if d.pour.Share > 0 && d.pour.AtMS <= j.now.MS+count.Gap {
			return d.pour, true
		}
	}
	return Pour{}, false
}

func (j *Journal) today() count.Day {
	return count.Label(j.now.MS, j.now.OffsetMin, j.Settings().DayStart)
}

// session sets a session for reading, its pours in order.
func (j *Journal) session(s count.Session, all []drunk) *sessionJSON {
	out := &sessionJSON{
		SinceMS: s.FirstMS, Totals: totalsJSON{j.alcohol(s.Total), len(s.IDs)}, SinceLastMin: max(0, (j.now.MS-s.LastMS)/60_000),
		Pours: []pourRowJSON{}, GapsMin: []int64{},
	}
	in := inSession(s, all, placesOf(all))
	changed := clocksChanged(in)
	for i, d := range in {
		out.Pours = append(out.Pours, j.pourRow(d))
		if changed {
			out.Pours[i].UTC = offsetWord(d.pour.OffsetMin)
		}
		if i == 0 {
			out.Since = clock(d.pour.AtMS, d.pour.OffsetMin)
		} else {
			out.GapsMin = append(out.GapsMin, (d.pour.AtMS-out.Pours[i-1].AtMS)/60_000)
		}
	}
	out.PacePerHour = paceJSON(s)
	out.PeakTwoHours = count.Shown(s.Peak.Drinks)
	return out
}

// clocksChanged tells whether some pours were lived at different offsets: then two may show the same time of day.
func clocksChanged(in []drunk) bool {
	for _, d := range in {
		if d.pour.OffsetMin != in[0].pour.OffsetMin {
			return true
		}
	}
	return false
}

// offsetWord sets an offset for reading: "UTC+2", "UTC−3:30".
func offsetWord(minutes int) string {
	sign := "+"
	if minutes < 0 {
		sign, minutes = "−", -minutes
	}
	out := "UTC" + sign + itoa(minutes/60)
	if m := minutes % 60; m != 0 {
		out += ":" + itoa(m/10) + itoa(m%10)
	}
	return out
}

// label answers which drinking day a moment counts for.
func (j *Journal) label(q question) (any, error) {
	set := values{}
	if err := optional("pour", set, map[string]*int64{"at_ms": q.AtMS, "offset_min": q.OffsetMin}); err != nil {
		return nil, err
	}
	if q.AtMS == nil || q.OffsetMin == nil {
		return nil, journal.Refuse("empty", "at_ms", "expected a moment and the offset it is lived at")
	}
	return labelJSON{count.Label(*q.AtMS, int(*q.OffsetMin), j.Settings().DayStart).String()}, nil
}

// placesOf says where in a list each pour is.
func placesOf(all []drunk) map[journal.ID]int {
	at := make(map[journal.ID]int, len(all))
	for i, d := range all {
		at[d.entry.ID] = i
	}
	return at
}

// inSession gives the pours of a session in its order.
func inSession(s count.Session, all []drunk, at map[journal.ID]int) []drunk {
	var out []drunk
	for _, id := range s.IDs {
		if i, ok := at[id]; ok {
			out = append(out, all[i])
		}
	}
	return out
}

// water sums the tally of water from an instant on.
func (j *Journal) water(from int64) float64 {
	var ul int64
	j.each("water", func(e *replica.Entity) {
		if at := intOf(together(e, "at_ms"), "at_ms"); at.Value >= from && at.Value <= j.now.MS+count.Gap {
			ul += intOf(row{e}, "vol_ul").Value
		}
	})
	return round(unit.Volume(ul).ML(), 0)
}

// preset is a plain drink to log in one touch.
type preset struct {
	plainJSON
	alcohol ethanol.Alcohol
}

// builtIn stand until the owner has presets. Volumes and strengths are common measures (common practice), not anyone's
// product; the 330 ml bottle at 5 % and the pint (568 ml) are usual in trade. Beer called alcohol-free may hold up to half a
// per cent, and counts for that.
var builtIn = []struct {
	id, name string
	volume   unit.Volume
	strength unit.Strength
}{
	{"plain.beer", "bottle of beer", 330_000, 500},
	{"plain.wine", "glass of wine", 150_000, 1250},
	{"plain.pint", "pint", 568_000, 450},
	{"plain.spirit", "measure of spirit", 40_000, 4000},
	{"plain.free_beer", "alcohol-free beer", 330_000, 50},
	{"plain.soda", "soda and lime", 250_000, 0},
}

// presets gives the owner's plain drinks in order, or the built-in ones.
func (j *Journal) presets() (all []preset) {
	add := func(id, name string, volume unit.Maybe[unit.Volume], strength unit.Maybe[unit.Strength]) {
		if !volume.Known {
			return
		}
		all = append(all, preset{plainJSON{ID: id, Name: name, VolumeML: *ml(volume), ABVPercent: percent(strength)}, plainAlcohol(volume, strength)})
	}
	for _, e := range j.plains() {
		g := together(e, "vol_ul")
		add(string(e.ID), textOf(g, "name"), volumeOf(g, "vol_ul"), strengthOf(g, "abv_bp"))
	}
	if all == nil {
		for _, b := range builtIn {
			add(b.id, b.name, unit.Known(b.volume), unit.Known(b.strength))
		}
	}
	return all
}

// nearest gives the specs worth offering first: those poured last, then the newest written.
func (j *Journal) nearest(brings func(count.Total) (alcoholJSON, []guidelineJSON)) []specChoiceJSON {
	const most = 8
	out := []specChoiceJSON{}
	offered := map[replica.ID]bool{}
	offer := func(s Spec) {
		h := j.head(s.ID)
		if len(out) >= most || offered[h] || len(j.Lines(s.ID)) == 0 {
			return
		}
		offered[h] = true
		t := j.specTotal(Version{s, j.Lines(s.ID)}, unit.Whole)
		would, passes := brings(t)
		out = append(out, specChoiceJSON{string(s.ID), j.drinkName(s), j.versionName(s), would, passes})
	}
	looked := map[replica.ID]bool{}
	veiled := map[replica.ID]bool{} // specs that would tell what stands in a flight that is being tasted
	for _, ref := range j.pourRefs() {
		if len(out) >= most {
			break
		}
		id := idOf(row{ref.e}, "spec")
		if _, yes := j.veil(ref.e.ID); yes {
			veiled[id] = true
			continue
		}
		if looked[id] {
			continue
		}
		looked[id] = true
		if s, ok := j.Spec(id); ok {
			offer(s)
		}
	}
	specs := j.Specs()
	for i := len(specs) - 1; i >= 0 && len(out) < most; i-- { // ids begin with their time
		if s := specs[i]; !veiled[s.ID] || j.isBenchmark(s) {
			offer(s)
		}
	}
	return out
}
