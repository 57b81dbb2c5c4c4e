package main

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
)

// seedDemo writes the invented Orchard Sour journal: three weeks before now, kept on two devices that meet in the store,
// one thing changed on both at once. It goes the way of every journal: intents, actions, rounds. admit makes a device
// known to the server under a name and gives its id.
func seedDemo(ctx context.Context, st store.Store, j store.Journal, now time.Time, admit func(name string) (string, error)) error {
	var scribes []*scribe
	for _, name := range []string{"kitchen laptop", "bar phone"} {
		id, err := admit(name)
		if err != nil {
			return fmt.Errorf("admitting the %s: %w", name, err)
		}
		scribes = append(scribes, newScribe(st, j, name, id))
	}
	laptop, phone := scribes[0], scribes[1]
	d := &orchard{now: now}
	d.shelf(laptop)
	d.specs(laptop)
	d.compared(laptop)
	laptop.sync(ctx, now)
	phone.sync(ctx, now)
	d.evenings(phone)
	d.flights(phone)
	phone.sync(ctx, now)
	laptop.sync(ctx, now)
	d.clash(laptop, phone)
	laptop.sync(ctx, now)
	phone.sync(ctx, now)
	return cmp.Or(phone.err, laptop.err)
}

// intent is what a person does, as the core reads it; see pwa/src/shared/core.ts.
type intent = map[string]any

// orchard is the demo's story.
type orchard struct {
	now time.Time

	gins, pears                        []replica.ID
	benchmark, verjus, bitter, noProof replica.ID
	gin, pear                          replica.ID // lines of the benchmark
	disputed                           replica.ID // the glass with two notes
	question                           replica.ID // the comparison
}

// on is a time of day some days ago, where the demo runs.
func (d *orchard) on(daysAgo int, hour, minute int) time.Time {
	y, m, day := d.now.Date()
	return time.Date(y, m, day-daysAgo, hour, minute, 0, 0, d.now.Location())
}

func (d *orchard) shelf(s *scribe) {
	at := d.on(24, 17, 0)
	s.do(at, intent{"do": "set", "name": "country", "value": "AU"})
	s.do(at, intent{"do": "set", "name": "units", "value": "oz"})

	type bottle struct {
		name       string
		abv, sugar int // basis points; mg/l, −1 unknown
		size, cost int // ml; cents
		opened     int // days ago; −1 still shut
		into       *[]replica.ID
	}
	for _, b := range []bottle{
		{"juniper-heavy gin", 4700, 0, 700, 3290, 23, &d.gins},
		{"soft floral gin", 4150, 0, 700, 3650, 23, &d.gins},
		{"citrus-led gin", 4400, 0, 700, 2990, 20, &d.gins},
		{"coastal gin, salty", 4300, 0, 500, 3400, 13, &d.gins},
		{"cask-rested gin", 4500, 0, 500, 4150, 12, &d.gins},
		{"old-style sweet gin", 4000, 25000, 700, 2790, -1, &d.gins},
		{"clear pear eau-de-vie", 4200, 0, 500, 3880, 22, &d.pears},
		{"cask-rested pear eau-de-vie", 4300, 0, 350, 4690, 11, &d.pears},
		{"quince liqueur", 2400, 300000, 500, 2250, 23, nil},
		{"gentian liqueur", 1800, 160000, 700, 1980, 9, nil},
		{"orange bitters", 4500, 0, 100, 1290, 90, nil},
		{"verjus", 0, 20000, 750, 1190, 6, nil},
	} {
		id := s.newID(at)
		set := intent{"name": b.name, "abv_bp": b.abv}
		if b.sugar >= 0 {
			set["sugar_mgl"] = b.sugar
		}
		if b.name == "verjus" {
			set["acid_mgl"] = 15000
		} else {
			set["acid_mgl"] = 0
		}
		s.do(at, intent{"do": "edit", "id": id, "kind": "ingredient", "set": set})
		opened := intent{"do": "bottle", "id": s.newID(at), "name": b.name, "ingredient": id, "abv_bp": b.abv,
			"size_ul": b.size * 1000, "price_minor": b.cost, "currency": "EUR"}
		if b.opened >= 0 {
			opened["opened_on"] = d.on(b.opened, 12, 0).Format(time.DateOnly)
		}
		s.do(at, opened)
		if b.into != nil {
			*b.into = append(*b.into, id)
		}
	}
}

func lines(typed ...string) []intent {
	out := make([]intent, len(typed))
	for i, t := range typed {
		out[i] = intent{"typed": t}
	}
	return out
}

// from says which line of a parent each line of a riff was copied from; an empty id is a line of the riff's own.
func from(of []replica.ID, lines []intent) []intent {
	for i, id := range of {
		if id != "" {
			lines[i]["keep"] = id
		}
	}
	return lines
}

func (d *orchard) specs(s *scribe) {
	at := d.on(23, 18, 0)
	drink := s.newID(at)
	spec := func(id replica.ID, name string, more intent, lines []intent) replica.ID {
		in := intent{"do": "spec", "id": id, "drink": drink, "drink_name": "Orchard Sour", "name": name, "method": "shaken", "ice": "cubes",
			"glass": "coupe, up", "garnish": "bay leaf", "lines": lines}
		for k, v := range more {
			in[k] = v
		}
		s.do(at, in)
		return id
	}
	d.benchmark = spec(s.newID(at), "First version", intent{"note": "Autumn in a coupe. Shake hard, twelve seconds."},
		lines("1¼ oz juniper-heavy gin", "½ oz clear pear eau-de-vie", "½ oz quince liqueur", "¾ oz lemon juice", "½ oz honey syrup 2:1", "2 dashes orange bitters"))
	s.do(at, intent{"do": "benchmark", "spec": d.benchmark})
	made := s.linesOf(d.benchmark)
	if len(made) != 6 {
		s.fault("writing the riffs", fmt.Errorf("expected the benchmark's 6 lines, got %d", len(made)))
		return
	}
	d.gin, d.pear = made[0], made[1]
	base, honey, bitters := made[:4], made[4], made[5]
	d.verjus = spec(s.newID(at), "Verjus for half the lemon", intent{"parent": d.benchmark},
		from(append(slices.Clone(base), "", honey, bitters), lines("1¼ oz juniper-heavy gin", "½ oz clear pear eau-de-vie", "½ oz quince liqueur",
			"11 ml lemon juice", "½ oz verjus", "½ oz honey syrup 2:1", "2 dashes orange bitters")))
	d.bitter = spec(s.newID(at), "Bitter: gentian, 5 ml", intent{"parent": d.benchmark},
		from(append(slices.Clone(base), honey, "", bitters), lines("1¼ oz juniper-heavy gin", "½ oz clear pear eau-de-vie", "½ oz quince liqueur",
			"¾ oz lemon juice", "½ oz honey syrup 2:1", "5 ml gentian liqueur", "2 dashes orange bitters")))

	d.noProof = s.newID(at)
	s.do(at, intent{"do": "spec", "id": d.noProof, "drink": s.newID(at), "drink_name": "Verjus and bay soda", "name": "No alcohol", "method": "long",
		"ice": "cubes", "glass": "highball", "garnish": "bay leaf", "lines": lines("30 ml verjus", "15 ml honey syrup 2:1", "120 ml soda water")})
}

// glass is one pour of the story.
type glass struct {
	days, hour, minute int
	spec               *replica.ID
	gin, pear          int // which bottle stands in for the first; 0 as written
	score              int // tenths; −1 none
	share              int // basis points; 0 means the whole glass
	guest              bool
	note               string
	tags               []string
}

func (d *orchard) evenings(s *scribe) {
	b, v := &d.benchmark, &d.verjus
	glasses := []glass{
		{days: 21, hour: 20, minute: 40, spec: b, score: 75, note: "The one to beat.", tags: []string{"pear", "honeyed"}},
		{days: 21, hour: 22, minute: 5, spec: b, gin: 1, score: 80, note: "Rounder. Rose on the nose.", tags: []string{"pear", "floral"}},
		{days: 18, hour: 21, minute: 15, spec: b, gin: 2, score: 80, share: 5000, note: "Bright, a touch thin."},
		{days: 18, hour: 22, minute: 50, spec: b, score: 75, share: 5000},
		{days: 18, hour: 24, minute: 35, spec: b, gin: 1, score: 85, share: 5000, note: "Past midnight and still the rounder one."},
		{days: 14, hour: 19, minute: 30, spec: &d.noProof, score: 70, note: "A soda for a weekday."},
		{days: 13, hour: 20, minute: 55, spec: b, gin: 3, score: 70, share: 5000, note: "Salt fights the honey."},
		{days: 13, hour: 22, minute: 10, spec: v, score: 70, note: "Softer acid, less lift."},
		{days: 11, hour: 21, minute: 0, spec: b, pear: 1, score: 75, share: 5000, note: "Cask pear: vanilla, less fruit."},
		{days: 8, hour: 21, minute: 20, spec: b, gin: 4, score: 65, share: 5000, note: "Wood on wood. Too much."},
		{days: 8, hour: 23, minute: 15, spec: b, gin: 1, score: 80},
		{days: 8, hour: 25, minute: 10, spec: b, score: 75, share: 2500},
		{days: 4, hour: 20, minute: 45, spec: b, gin: 2, score: 75, note: "Second look: steadier than I thought."},
		{days: 4, hour: 22, minute: 0, spec: v, score: 75, guest: true, note: "Poured for a guest."},
	}
	for i, g := range glasses {
		id := d.pour(s, d.on(g.days, g.hour, g.minute), g)
		if i == 6 {
			d.disputed = id
		}
	}
	plain := func(at time.Time, name string, ml, abv int) {
		s.do(at, intent{"do": "plain", "id": s.newID(at), "name": name, "vol_ul": ml * 1000, "abv_bp": abv})
	}
	plain(d.on(16, 19, 20), "Glass of cider", 330, 450)
	plain(d.on(6, 18, 45), "Pint", 570, 460)
	for _, days := range []int{20, 17, 10, 5, 3} {
		at := d.on(days, 23, 0)
		s.do(at, intent{"do": "day", "day": d.on(days, 12, 0).Format(time.DateOnly), "alcohol_free": true})
	}
	// This evening, as far as it has come.
	first := d.now.Add(-98 * time.Minute).Truncate(time.Minute)
	d.pour(s, first, glass{spec: b, score: 75, share: 5000})
	s.do(first.Add(20*time.Minute), intent{"do": "water", "id": s.newID(first), "vol_ul": 250000})
	d.pour(s, first.Add(72*time.Minute), glass{spec: b, gin: 1, score: -1})
}

// compared asks whether something bitter does any good, and which gin and which pear: six by two.
func (d *orchard) compared(s *scribe) {
	at := d.on(22, 19, 30)
	s.do(at, intent{"do": "compare", "id": s.newID(at), "base": d.benchmark, "name": "Something bitter in it?", "lines": []replica.ID{}, "touches": []string{"5 ml gentian liqueur"}})
	at = d.on(22, 20, 0)
	d.question = s.newID(at)
	var all []intent
	for _, gin := range d.gins[1:] {
		all = append(all, intent{"line": d.gin, "ingredient": gin})
	}
	all = append(all, intent{"line": d.pear, "ingredient": d.pears[1]})
	s.do(at, intent{"do": "compare", "id": d.question, "base": d.benchmark, "name": "Which gin, which pear", "lines": []replica.ID{d.gin, d.pear}, "candidates": all})
	s.do(d.on(22, 20, 5), intent{"do": "anchor", "id": s.newID(at), "comparison": d.question, "anchor_x10": 90})
}

// flights are three evenings of small glasses side by side. After the first the benchmark is declared anew: a nine left
// nothing to find above it.
func (d *orchard) flights(s *scribe) {
	const clear, cask = 0, 1
	type seat struct{ gin, pear, score int }
	for i, f := range []struct {
		days, hour int
		seats      []seat
	}{
		{15, 20, []seat{{0, clear, 90}, {1, clear, 95}, {2, clear, 90}}},
		{12, 21, []seat{{0, clear, 70}, {1, clear, 80}, {3, cask, 60}}},
		{9, 20, []seat{{0, clear, 65}, {1, clear, 80}, {1, cask, 75}}},
	} {
		at := d.on(f.days, f.hour, 30)
		if i == 1 {
			s.do(d.on(f.days, f.hour, 0), intent{"do": "anchor", "id": s.newID(at), "comparison": d.question, "anchor_x10": 70})
		}
		id := s.newID(at)
		var seats []intent
		scores := map[string]int{}
		for k, one := range f.seats {
			picks := s.picksOf(d.question, d.gins[one.gin], d.pears[one.pear])
			why := "own"
			if k == 0 {
				why = "benchmark"
			}
			seats = append(seats, intent{"picks": picks, "why": why})
			scores[picks] = one.score
		}
		s.do(at, intent{"do": "flight", "id": id, "comparison": d.question, "pour_ul": 20_000, "seed": "20260501", "sight": "blind", "seats": seats})
		for k, one := range s.seatsOf(id) {
			poured := at.Add(time.Duration(5+7*k) * time.Minute)
			s.do(poured, intent{"do": "taste", "id": s.newID(poured), "seat": one.id, "score_x10": scores[one.picks]})
		}
		s.do(at.Add(30*time.Minute), intent{"do": "flight_state", "id": id, "state": "end"})
	}
}

func (d *orchard) pour(s *scribe, at time.Time, g glass) replica.ID {
	id := s.newID(at)
	in := intent{"do": "pour", "id": id, "spec": *g.spec}
	if g.score >= 0 {
		in["score_x10"] = g.score
	}
	if g.guest {
		in["share_bp"] = 0
	} else if g.share > 0 {
		in["share_bp"] = g.share
	}
	if g.note != "" {
		in["note"] = g.note
	}
	if len(g.tags) > 0 {
		in["tags"] = g.tags
	}
	switch {
	case g.gin > 0:
		in["swap"] = intent{"line": d.gin, "ingredient": d.gins[g.gin]}
	case g.pear > 0:
		in["swap"] = intent{"line": d.pear, "ingredient": d.pears[g.pear]}
	}
	s.do(at, in)
	return id
}

// clash is the one edit made on two devices at once: both had more to say about the same glass.
func (d *orchard) clash(laptop, phone *scribe) {
	note := func(text string) intent {
		return intent{"do": "edit", "id": d.disputed, "kind": "pour", "set": intent{"note": text}}
	}
	phone.do(d.on(12, 23, 41), note("Salt fights the honey. Pear first, then dry."))
	laptop.do(d.on(11, 9, 5), note("Needs a colder glass. Lemon a touch loud."))
}
