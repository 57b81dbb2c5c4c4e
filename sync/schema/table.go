package schema

import (
	"slices"
	"strconv"
	"strings"

	"fairmeasure/journal"
	"fairmeasure/journal/count"
)

// table answers days or pours as comma-separated values by RFC 4180: UTF-8, a row of keys first, lines ending in CRLF.
func (j *Journal) table(q question) (any, error) {
	first, err := dayGiven("from", q.From)
	if err != nil {
		return nil, err
	}
	last, err := dayGiven("to", q.To)
	switch {
	case err != nil:
		return nil, err
	case last < first || last-first >= mostDays:
		return nil, journal.Refuse("out_of_range", "to", "expected 1 to %d days, got %d", mostDays, int(last-first)+1)
	}
	all := slices.DeleteFunc(j.since((int64(first)-3)*dayMS), func(d drunk) bool {
		day := j.Day(d.pour)
		return day < first || day > last
	})
	var t csv
	switch q.Of {
	case "days":
		j.daysTable(&t, all, first, last)
	case "pours":
		j.poursTable(&t, all)
	default:
		return nil, journal.Refuse("unknown_word", "of", "expected days or pours, got %q", clip(q.Of))
	}
	return tableJSON{t.String()}, nil
}

func dayGiven(field, text string) (count.Day, error) {
	day, err := count.ParseDay(text)
	if err != nil {
		return 0, journal.Refuse("bad_day", field, "expected a date such as 2026-05-16, got %q", clip(text))
	}
	return day, nil
}

func (j *Journal) daysTable(t *csv, all []drunk, first, last count.Day) {
	unit := j.drinkUnit()
	t.row("day", "weekday_iso", "state", "pours", "alcohol_g", "standard_drinks", "at_least", "about", "unit", "unit_g", "country")
	w := count.Span(entries(all), j.confirmed(), j.moment(), j.counting(), first, last)
	for _, d := range w.Days {
		cells := []string{d.Day.String(), itoa(weekday(d.Day)), stateOf(d)}
		switch d.State {
		case count.Logged, count.AlcoholFree:
			cells = append(cells, itoa(d.Total.Entries))
			cells = append(cells, alcoholCells(j.alcohol(d.Total))...)
		default: // nothing is known of it, so nothing is written
			cells = append(cells, "", "", "", "", "")
		}
		t.row(append(cells, unit.Name, decimal(unit.Grams), unit.Country)...)
	}
}

func (j *Journal) poursTable(t *csv, all []drunk) {
	unit := j.drinkUnit()
	t.row("day", "at", "zone", "name", "version", "volume_ml", "abv_percent", "share_percent", "alcohol_g", "standard_drinks", "at_least", "about",
		"unit", "unit_g", "country", "score", "note", "id")
	for _, d := range slices.Backward(all) {
		p, row := d.pour, j.pourRow(d)
		volume, strength, score := "", "", ""
		if v := ml(p.Volume); v != nil {
			volume = decimal(*v)
		}
		if v := percent(p.Strength); v != nil {
			strength = decimal(*v)
		}
		if row.ScoreX10 != nil {
			score = decimal(float64(*row.ScoreX10) / 10)
		}
		cells := append([]string{row.Day, instant(p.AtMS, p.OffsetMin), p.Zone, row.Name, row.Version, volume, strength, decimal(float64(row.ShareBP) / 100)},
			alcoholCells(row.Alcohol)...)
		t.row(append(cells, unit.Name, decimal(unit.Grams), unit.Country, score, row.Note, row.ID)...)
	}
}

func alcoholCells(a alcoholJSON) []string {
	return []string{strconv.FormatFloat(a.Grams, 'f', 1, 64), strconv.FormatFloat(a.Drinks, 'f', 1, 64), yesNoCell(a.AtLeast), yesNoCell(a.About)}
}

func yesNoCell(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// instant gives an instant as it was lived, by RFC 3339: "2026-05-16T00:30+02:00" with its seconds.
func instant(atMS int64, offsetMin int) string {
	second := atMS / 1000 % 60
	out := count.Label(atMS, offsetMin, 0).String() + "T" + clock(atMS, offsetMin) + ":" + clock(second*60_000, 0)[3:]
	sign := "+"
	if offsetMin < 0 {
		sign, offsetMin = "-", -offsetMin
	}
	return out + sign + clock(int64(offsetMin)*60_000, 0)
}

// csv writes rows. A text that a spreadsheet would take for a formula gets an apostrophe before it.
type csv struct{ strings.Builder }

// belowNought tells whether a cell is a negative number and nothing else.
func belowNought(cell string) bool {
	digits, ok := strings.CutPrefix(cell, "-")
	whole, part, point := strings.Cut(digits, ".")
	return ok && onlyDigits(whole) && (!point || onlyDigits(part))
}

func onlyDigits(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }

func (t *csv) row(cells ...string) {
	for i, c := range cells {
		if i > 0 {
			t.WriteByte(',')
		}
		if c != "" && strings.IndexByte("=+-@\t\r", c[0]) >= 0 && !belowNought(c) {
			c = "'" + c
		}
		if strings.ContainsAny(c, "\",\r\n") {
			c = `"` + strings.ReplaceAll(c, `"`, `""`) + `"`
		}
		t.WriteString(c)
	}
	t.WriteString("\r\n")
}
