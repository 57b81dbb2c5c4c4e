package schema

import (
	"cmp"
	"strings"

	"fairmeasure/journal/count"
	"fairmeasure/sync/replica"
)

// keeper answers how things stand: settings, clashes, what needs a look, and the trash.
func (j *Journal) keeper(question) (any, error) {
	s := j.Settings()
	out := keeperJSON{
		Settings: settingsJSON{
			Country: s.Country, Units: s.Units, OzKind: s.OzKind, DayStartMin: int(s.DayStart), WeekStart: weekStartJSON(s.WeekStart),
			DashUL: int64(s.Dash), BarspoonUL: int64(s.Barspoon), OwnDayDrinksX10: maybe(s.OwnDayX10), OwnWeekDrinksX10: maybe(s.OwnWeekX10),
			Quiet: s.Quiet,
		},
		Countries: []countryJSON{}, Clashes: []clashJSON{},
		Counts: countsJSON{Drinks: len(j.Drinks()), Specs: len(j.Specs()), Pours: len(j.pourRefs()), Bottles: len(j.Bottles())},
	}
	for _, code := range count.Countries() {
		d := count.Profile(code)
		out.Countries = append(out.Countries, countryJSON{code, CountryName(code), d.Unit, round(float64(d.UnitMG)/1000, 2)})
	}
	for _, e := range j.clashes() {
		out.Clashes = append(out.Clashes, j.clashesOf(e)...)
	}
	out.NeedsLook = list(j.needsLook())
	out.Trash = list(j.trash())
	return out, nil
}

func weekStartJSON(w count.WeekStart) string {
	switch w {
	case count.Sunday, count.Saturday:
		return string(w)
	}
	return "iso"
}

// countryNames are the English short names of the countries with a row (ISO 3166-1).
const countryNames = "US United States|GB United Kingdom|IE Ireland|AU Australia|NZ New Zealand|CA Canada|FR France|DE Germany|ES Spain|IT Italy|NL Netherlands|DK Denmark|SE Sweden|NO Norway|FI Finland|PL Poland|PT Portugal|AT Austria|CH Switzerland|BE Belgium|JP Japan|KR Korea|IN India|ZA South Africa|BR Brazil|MX Mexico|SG Singapore|HK Hong Kong|WHO World Health Organization"

// CountryName gives the name of a country with a row of its own; of any other its code.
func CountryName(code string) string {
	for name := range strings.SplitSeq(countryNames, "|") {
		if rest, ok := strings.CutPrefix(name, code+" "); ok {
			return rest
		}
	}
	return code
}

// needsLook lists what does not hang together: deleted on one device and changed on another, lines and specs whose owner
// is deleted or not here, references to what is deleted, fragments that a late edit left of something erased.
func (j *Journal) needsLook() (all []needsLookJSON) {
	add := func(e *replica.Entity, code string) {
		all = append(all, needsLookJSON{string(e.ID), e.Kind, j.title(e), code})
	}
	deleted := func(id replica.ID) (gone, here bool) {
		e, ok := j.view.Get(id)
		return ok && hidden(e), ok
	}
	for _, kind := range clashKinds {
		j.each(kind, func(e *replica.Entity) {
			switch replica.Deleted(e) {
			case replica.DeletedAndChanged:
				add(e, "deleted_changed")
			case replica.DeletedAndRestored:
				add(e, "deleted_restored")
			}
		})
	}
	dead := map[replica.ID]bool{}
	j.each("line", func(e *replica.Entity) {
		owner := idOf(row{e}, "owner")
		gone, here := deleted(owner)
		switch {
		case owner == "" || textOf(together(e, "typed"), "typed") == "":
			add(e, "fragment")
		case gone && !dead[owner]:
			dead[owner] = true
			spec, _ := j.view.Get(owner)
			add(spec, "line_in_deleted_spec")
		case !here:
			add(e, "spec_missing")
		}
		if ingredient := idOf(together(e, "ingredient"), "ingredient"); minted(ingredient) && !gone && here {
			if gone, here := deleted(ingredient); gone {
				add(e, "ingredient_deleted")
			} else if !here {
				add(e, "ingredient_missing")
			}
		}
	})
	j.each("spec", func(e *replica.Entity) {
		if drink := idOf(row{e}, "drink"); drink != "" {
			if gone, here := deleted(drink); gone {
				add(e, "drink_deleted")
			} else if !here {
				add(e, "drink_missing")
			}
		}
	})
	j.each("drink", func(e *replica.Entity) {
		if benchmark := idOf(row{e}, "benchmark"); benchmark != "" {
			if gone, here := deleted(benchmark); gone {
				add(e, "benchmark_deleted")
			} else if !here {
				add(e, "benchmark_missing")
			}
		}
		if textOf(row{e}, "name") == "" {
			add(e, "fragment")
		}
	})
	for _, ref := range j.pourRefs() {
		switch {
		case ref.atMS == 0 || textOf(row{ref.e}, "made") == "" && !volumeOf(together(ref.e, "vol_ul"), "vol_ul").Known:
			add(ref.e, "fragment")
		case ref.atMS > j.now.MS+dayMS:
			add(ref.e, "in_the_future")
		}
	}
	return all
}

// PartOf names the field that says what a thing belongs to, of things that are only a part of another: the spec of a line, the
// comparison of a flight. Empty for what stands by itself.
func PartOf(kind string) string {
	switch kind {
	case "line":
		return "owner"
	case "level":
		return "bottle"
	}
	for _, o := range owned {
		if o.kind == kind {
			return o.field
		}
	}
	return ""
}

// wholeOf is what a thing is only a part of, if it is.
func wholeOf(e *replica.Entity) replica.ID {
	if field := PartOf(e.Kind); field != "" {
		return idOf(row{e}, field)
	}
	return ""
}

// trash lists what is deleted, the latest first. A line that went with its spec is not listed by itself, nor is any other
// part of a thing that is there itself.
func (j *Journal) trash() (all []trashJSON) {
	for _, kind := range clashKinds {
		j.view.Each(kind, func(e *replica.Entity) bool {
			if !hidden(e) {
				return true
			}
			w, _ := e.Shown(replica.Gone)
			if whole, ok := j.view.Get(wholeOf(e)); ok && hidden(whole) {
				return true
			}
			day := count.Label(w.At, j.now.OffsetMin, 0).String()
			all = append(all, trashJSON{string(e.ID), e.Kind, j.title(e), day})
			return true
		})
	}
	inOrder(all, func(a, b trashJSON) int {
		return cmp.Or(cmp.Compare(b.Day, a.Day), cmp.Compare(b.ID, a.ID))
	})
	return all
}
