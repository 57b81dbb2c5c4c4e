package simnet

import (
	"fmt"
	"slices"

	"fairmeasure/sync/device"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
)

// kindOf and fieldsOf are what people write: fields alone, fields in a group, and a kind and fields that this version of
// the schema does not know.
var fieldsOf = map[string][]string{
	"pour":         {"note", "score_x10", "tag.smoky"},
	"bottle":       {"price_minor", "currency", "note"},
	"garnish_tray": {"zest", "peel"},
	"set":          {"value"},
}

const poison = "no server of today takes this"

func (w *world) people() {
	for i := range 3 + w.r.IntN(4) {
		w.ids = append(w.ids, replica.ID(fmt.Sprintf("01HZZZZZZZ%016d", i)))
	}
	w.ids = append(w.ids, "set.country")
}

func kindOf(id replica.ID) string {
	if id == "set.country" {
		return "set"
	}
	return []string{"pour", "pour", "bottle", "garnish_tray"}[int(id[len(id)-1]-'0')%4]
}

// value gives a value out of few, so that equal ones meet.
func (w *world) value(field string) replica.Value {
	v := replica.Int(int64(w.r.IntN(6)))
	switch w.r.IntN(8) {
	case 0:
		v = replica.Null
	case 1, 2:
		v = replica.Text(fmt.Sprintf("note %d of %s", w.r.IntN(20), field))
	case 3:
		v = replica.Bool(w.r.IntN(2) == 0)
	}
	if !w.quiet && w.r.IntN(60) == 0 {
		v = replica.Text(poison)
	}
	if !w.rules.Sealed || v == replica.Text(poison) {
		return v
	}
	return replica.Text(fmt.Sprintf("sealed %x", fmt.Sprint(v)))
}

// person lets somebody do one thing on a core.
func (w *world) person(c *core) {
	var plain, deletes bool
	var rivals []rival
	change, err := c.dev.Act(w.now+c.on.skew, func(v schema.View) ([]replica.Edit, error) {
		var edits []replica.Edit
		ids := []replica.ID{w.ids[w.r.IntN(len(w.ids))]}
		if w.r.IntN(4) == 0 {
			ids = append(ids, w.ids[w.r.IntN(len(w.ids))])
		}
		what := w.r.IntN(14)
		for _, id := range ids {
			var ed replica.Edit
			var err error
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
				deletes = true
				if ed, err = schema.Delete(v, id); err == nil && w.rules.TearingDelete {
					ed = torn(e, ed)
				}
			case there && what < 6:
				if f := clashing(e); f != "" {
					group := schema.Group(e.Kind, f)
					all := replica.Versions(e, group)
					if what%2 == 0 {
						ed, err = schema.Choose(v, id, f, all[w.r.IntN(len(all))].Stamp)
					} else {
						ed, err = schema.Resolve(v, id, e.Kind, map[string]replica.Value{f: w.value(f)})
					}
					break
				}
				fallthrough
			default:
				plain = true
				set := map[string]replica.Value{}
				fields := fieldsOf[kindOf(id)]
				for _, i := range w.r.Perm(len(fields))[:1+w.r.IntN(len(fields))] {
					set[fields[i]] = w.value(fields[i])
				}
				if w.rules.OverAll {
					ed, err = schema.Resolve(v, id, kindOf(id), set)
				} else {
					ed, err = schema.Set(v, id, kindOf(id), set)
				}
				if there {
					rivals = append(rivals, rivalsOf(e, ed)...)
				}
			}
			if err != nil {
				return nil, err
			}
			if !slices.ContainsFunc(edits, func(o replica.Edit) bool { return o.ID == id }) {
				edits = append(edits, ed)
			}
		}
		return edits, nil
	})
	if err != nil {
		w.fail("Act", "%s: %v", c.on.name, err)
		return
	}
	if change == nil {
		return
	}
	w.rep.Edits++
	before := len(w.order)
	outcome := c.commit(change)
	if len(w.order) > before { // it is on the disk, whatever was said of it
		s := w.saved[w.order[before]]
		s.plain, s.deletes = plain && !deletes, deletes
		w.trace("%s: saved (%s) %s", c.on.name, outcome, s.body)
	}
	if outcome == device.Done {
		for _, r := range rivals {
			e, ok := c.dev.Get(r.id)
			if ok {
				_, ok = e.Find(r.field, r.stamp)
			}
			if !ok {
				w.fail("NoSavedValueLost", "%s: %s %s of %s was on no screen and is no longer listed after a plain edit", c.on.name, r.id, r.field, r.stamp)
			}
		}
	}
}

type rival struct {
	id    replica.ID
	field string
	stamp replica.Stamp
}

// rivalsOf gives the writes of the groups an edit sets that differ from what is shown: they stay whatever a plain edit
// does.
func rivalsOf(e *replica.Entity, ed replica.Edit) []rival {
	var all []rival
	for f := range ed.Set {
		group := schema.Group(e.Kind, f)
		shown, ok := replica.ShownGroup(e, group)
		if !ok {
			continue
		}
		for _, v := range replica.Versions(e, group) {
			if _, live := v.Value(f); live && !v.Same(shown, group) {
				all = append(all, rival{e.ID, f, v.Stamp})
			}
		}
	}
	return all
}

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
