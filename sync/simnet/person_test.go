package simnet_test

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
	"fairmeasure/sync/simnet"
)

// kindOf and fieldsOf are what people write: fields alone, fields in a group, and a kind and fields that this version of
// the schema does not know.
var fieldsOf = map[string][]string{
	"pour":         {"note", "score_x10", "tag.smoky"},
	"bottle":       {"price_minor", "currency", "note"},
	"garnish_tray": {"zest", "peel"},
	"set":          {"value"},
}

// rules changes what is run, and who acts. The zero rules is the protocol as it is.
type rules struct {
	simnet.Rules
	OverAll       bool // a plain edit names all live writes
	TearingDelete bool // a delete takes the fields away in place of listing their writes
	Sealed        bool // every value is one that only its owners can read
}

// person writes fields at random: the protocol is the same whatever they mean.
type person struct {
	r     *rand.Rand
	rules rules
	ids   []replica.ID
}

func newPerson(r *rand.Rand, rules rules) *person {
	p := &person{r: r, rules: rules}
	for i := range 3 + r.IntN(4) {
		p.ids = append(p.ids, replica.ID(fmt.Sprintf("01HZZZZZZZ%016d", i)))
	}
	p.ids = append(p.ids, "set.country")
	return p
}

func run(seed uint64, m simnet.Mode, rules rules, trace func(format string, args ...any)) (simnet.Report, error) {
	return simnet.Run(seed, m, simnet.Cast{
		Group: schema.Group,
		Actor: func(r *rand.Rand) simnet.Actor { return newPerson(r, rules) },
	}, rules.Rules, trace)
}

func kindOf(id replica.ID) string {
	if id == "set.country" {
		return "set"
	}
	return []string{"pour", "pour", "bottle", "garnish_tray"}[int(id[len(id)-1]-'0')%4]
}

// value gives a value out of few, so that equal ones meet.
func (p *person) value(field string, quiet bool) replica.Value {
	v := replica.Int(int64(p.r.IntN(6)))
	switch p.r.IntN(8) {
	case 0:
		v = replica.Null
	case 1, 2:
		v = replica.Text(fmt.Sprintf("note %d of %s", p.r.IntN(20), field))
	case 3:
		v = replica.Bool(p.r.IntN(2) == 0)
	}
	if !quiet && p.r.IntN(60) == 0 {
		v = replica.Text(simnet.Poison)
	}
	if !p.rules.Sealed || v == replica.Text(simnet.Poison) {
		return v
	}
	return replica.Text(fmt.Sprintf("sealed %x", fmt.Sprint(v)))
}

// Act does one thing at random: changes, deletes, restores, erases, or settles a clash.
func (p *person) Act(at simnet.Scene) (simnet.Deed, error) {
	var deed simnet.Deed
	ids := []replica.ID{p.ids[p.r.IntN(len(p.ids))]}
	if p.r.IntN(4) == 0 {
		ids = append(ids, p.ids[p.r.IntN(len(p.ids))])
	}
	what := p.r.IntN(14)
	for _, id := range ids {
		var ed replica.Edit
		var err error
		v := at.View
		e, there := v.Get(id)
		gone := replica.NotDeleted
		if there {
			gone = replica.Deleted(e)
		}
		switch {
		case there && gone == replica.Hidden && what < 3:
			ed, err = schema.Erase(v, id)
		case there && gone == replica.Hidden && what < 7, gone.Asks() && what < 5:
			ed, err = schema.Restore(v, id)
		case there && gone != replica.Hidden && what < 2:
			if ed, err = schema.Delete(v, id); err == nil && p.rules.TearingDelete {
				ed = torn(e, ed)
			}
		case there && what < 6:
			if f := clashing(e); f != "" {
				group := schema.Group(e.Kind, f)
				all := replica.Versions(e, group)
				if what%2 == 0 {
					ed, err = schema.Choose(v, id, f, all[p.r.IntN(len(all))].Stamp)
				} else {
					ed, err = schema.Resolve(v, id, e.Kind, map[string]replica.Value{f: p.value(f, at.Quiet)})
				}
				break
			}
			fallthrough
		default:
			set := map[string]replica.Value{}
			fields := fieldsOf[kindOf(id)]
			for _, i := range p.r.Perm(len(fields))[:1+p.r.IntN(len(fields))] {
				set[fields[i]] = p.value(fields[i], at.Quiet)
			}
			if p.rules.OverAll {
				ed, err = schema.Resolve(v, id, kindOf(id), set)
			} else {
				ed, err = schema.Set(v, id, kindOf(id), set)
			}
			deed.Plain = append(deed.Plain, id)
		}
		if err != nil {
			return deed, err
		}
		if !slices.ContainsFunc(deed.Edits, func(o replica.Edit) bool { return o.ID == id }) {
			deed.Edits = append(deed.Edits, ed)
		}
	}
	return deed, nil
}

// Check has nothing to add to what every run is held to.
func (p *person) Check([]simnet.Done, []replica.View) error { return nil }

func clashing(e *replica.Entity) string {
	for _, f := range e.Names() {
		if f != replica.Gone && replica.ClashGroup(e, schema.Group(e.Kind, f)) {
			return f
		}
	}
	return ""
}

// torn is the delete that Rules.TearingDelete puts in place of the true one.
func torn(e *replica.Entity, ed replica.Edit) replica.Edit {
	if ed.Over == nil {
		ed.Over = map[string][]replica.Stamp{}
	}
	for _, f := range e.Names() {
		if f == replica.Gone {
			continue
		}
		for _, w := range e.Fields[f] {
			ed.Over[f] = append(ed.Over[f], w.Stamp)
		}
	}
	return ed
}
