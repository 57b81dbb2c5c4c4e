package schema

import (
	"strings"

	"fairmeasure/journal"
	"fairmeasure/journal/line"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

// lineFrom reads a line out of the fields it was kept in.
func lineFrom(g valued) (l line.Line, ingredient replica.ID) {
	qty := func(field string) unit.Maybe[line.Qty] {
		n := intOf(g, field)
		return unit.Maybe[line.Qty]{Value: line.Qty(n.Value), Known: n.Known}
	}
	l = line.Line{
		Typed: textOf(g, "typed"), Qty: qty("qty_e6"), QtyHigh: qty("qty_high_e6"), Unit: line.Unit(textOf(g, "unit")),
		OunceKind: line.OunceKind(textOf(g, "oz_kind")), Open: journal.Open(textOf(g, "open")), Name: textOf(g, "name"),
		Form: textOf(g, "form"), Note: textOf(g, "note"), Strength: strengthOf(g, "abv_bp"),
	}
	if v := volumeOf(g, "vol_ul"); v.Known {
		band := unit.Exact(v.Value)
		if low := volumeOf(g, "low_ul"); low.Known {
			band.Low = low.Value
		}
		if high := volumeOf(g, "high_ul"); high.Known {
			band.High = high.Value
		}
		l.Volume = unit.Known(band)
		l.Estimate = band.Low != band.High
	}
	if a := textOf(g, "assumed"); a != "" {
		l.Assumed = strings.Split(a, " ")
	}
	return l, idOf(g, "ingredient")
}

// lineFields gives the fields a line is kept in: the whole group, so that it changes together.
func lineFields(l line.Line, ingredient replica.ID) map[string]replica.Value {
	text := func(s string) replica.Value {
		if s == "" {
			return replica.Null
		}
		return replica.Text(s)
	}
	qty := func(q unit.Maybe[line.Qty]) replica.Value { return number(q.Known, int64(q.Value)) }
	v := l.Volume.Value
	doubtful := l.Volume.Known && v.Low != v.High
	return map[string]replica.Value{
		"typed": text(l.Typed), "unit": text(string(l.Unit)), "oz_kind": text(string(l.OunceKind)),
		"qty_e6": qty(l.Qty), "qty_high_e6": qty(l.QtyHigh),
		"vol_ul": number(l.Volume.Known, int64(v.Value)), "low_ul": number(doubtful, int64(v.Low)), "high_ul": number(doubtful, int64(v.High)),
		"open": text(string(l.Open)), "name": text(l.Name), "form": text(l.Form), "note": text(l.Note), "assumed": text(strings.Join(l.Assumed, " ")),
		"abv_bp": number(l.Strength.Known, int64(l.Strength.Value)), "ingredient": text(string(ingredient)),
	}
}

// number gives an integer value, or null where it is not known.
func number(known bool, n int64) replica.Value {
	if !known {
		return replica.Null
	}
	return replica.Int(n)
}
