package schema

import (
	"maps"
	"slices"

	"fairmeasure/journal"
	"fairmeasure/sync/replica"
)

// The edits below are the only place where "which writes does this replace" is decided. They name what the view they are
// given shows and nothing else: naming too little costs a question, naming too much costs data.

// Set gives the edit that sets fields of an entity, new or not. Every group it touches is set whole: what is not given
// keeps the shown value. It replaces the version on screen and any version equal to it; rivals stay.
func Set(v View, id replica.ID, kind string, fields map[string]replica.Value) (replica.Edit, error) {
	return edit(v, id, kind, fields, func(e *replica.Entity, group []string) []replica.Version {
		all := replica.Versions(e, group)
		return slices.DeleteFunc(all, func(o replica.Version) bool { return !o.Same(all[0], group) })
	})
}

// Resolve is Set that replaces every listed version of the groups it touches: a person looked at all of them and wrote a
// new value, such as both notes in one.
func Resolve(v View, id replica.ID, kind string, fields map[string]replica.Value) (replica.Edit, error) {
	return edit(v, id, kind, fields, replica.Versions)
}

func edit(v View, id replica.ID, kind string, fields map[string]replica.Value,
	replaced func(*replica.Entity, []string) []replica.Version) (replica.Edit, error) {
	e, ok := v.Get(id)
	if !ok {
		e = &replica.Entity{ID: id, Kind: kind}
	}
	if e.Kind != kind {
		return replica.Edit{}, journal.Refuse("wrong_kind", "", "%s is a %s, not a %s", id, e.Kind, kind)
	}
	if _, ok := fields[replica.Gone]; ok {
		return replica.Edit{}, journal.Refuse("bad_field", replica.Gone, "deleting and restoring are intents of their own")
	}
	out := replica.Edit{ID: id, Kind: kind, Set: map[string]replica.Value{}}
	for _, field := range slices.Sorted(maps.Keys(fields)) {
		if _, done := out.Set[field]; done {
			continue
		}
		group := Group(kind, field)
		shown, _ := replica.ShownGroup(e, group)
		for _, f := range group {
			value, given := fields[f]
			if !given {
				value, _ = shown.Value(f)
			}
			out.Set[f] = value
		}
		if len(e.Fields) > 0 {
			over(&out, replaced(e, group), group)
		}
	}
	return out, nil
}

// over names the writes of these versions.
func over(out *replica.Edit, versions []replica.Version, group []string) {
	for _, f := range group {
		for _, o := range versions {
			if _, live := o.Value(f); live {
				if out.Over == nil {
					out.Over = map[string][]replica.Stamp{}
				}
				out.Over[f] = append(out.Over[f], o.Stamp)
			}
		}
		replica.SortStamps(out.Over[f])
	}
}

// Choose gives the edit that settles a clash: of the listed versions of field's group the one with this stamp is set, and
// all that were listed are replaced.
func Choose(v View, id replica.ID, field string, chosen replica.Stamp) (replica.Edit, error) {
	e, err := existing(v, id)
	if err != nil {
		return replica.Edit{}, err
	}
	if field == replica.Gone {
		return replica.Edit{}, journal.Refuse("bad_field", replica.Gone, "deleting and restoring are intents of their own")
	}
	group := Group(e.Kind, field)
	all := replica.Versions(e, group)
	i := slices.IndexFunc(all, func(o replica.Version) bool { return o.Stamp == chosen })
	if i < 0 {
		return replica.Edit{}, journal.Refuse("not_listed", field, "%s: the chosen value is no longer among those listed", field)
	}
	out := replica.Edit{ID: id, Kind: e.Kind, Set: map[string]replica.Value{}}
	for _, f := range group {
		out.Set[f], _ = all[i].Value(f)
	}
	over(&out, all, group)
	return out, nil
}

// Delete gives the edit that hides an entity: it lists every live write the view holds, so that a change made meanwhile
// elsewhere is not swallowed. It replaces all earlier deletions and restorations.
func Delete(v View, id replica.ID) (replica.Edit, error) {
	e, err := existing(v, id)
	if err != nil {
		return replica.Edit{}, err
	}
	list, ok := replica.ListOf(e)
	if !ok {
		return replica.Edit{}, journal.Refuse("too_many_writes", replica.Gone, "%s has more changes side by side than a deletion can list: choose between them first", id)
	}
	return setGone(e, list), nil
}

// deleteUnseen is Delete by a person who was shown another version of one group than the view shows now. The list leaves
// that version out, so that the thing stays and it is asked whether to keep it.
func deleteUnseen(v View, id replica.ID, field string) (replica.Edit, error) {
	edit, err := Delete(v, id)
	if err != nil {
		return edit, err
	}
	e, _ := v.Get(id)
	if shown, ok := replica.ShownGroup(e, Group(e.Kind, field)); ok {
		text, _ := edit.Set[replica.Gone].AsText()
		list := slices.DeleteFunc(replica.ParseList(text), func(s replica.Stamp) bool { return s == shown.Stamp })
		edit.Set[replica.Gone] = replica.Text(replica.FormatList(list))
	}
	return edit, nil
}

// Restore gives the edit that takes all deletions of an entity back.
func Restore(v View, id replica.ID) (replica.Edit, error) {
	e, err := existing(v, id)
	if err != nil {
		return replica.Edit{}, err
	}
	return setGone(e, replica.Null), nil
}

func setGone(e *replica.Entity, value replica.Value) replica.Edit {
	out := replica.Edit{ID: e.ID, Kind: e.Kind, Set: map[string]replica.Value{replica.Gone: value}}
	gone := []string{replica.Gone}
	over(&out, replica.Versions(e, gone), gone)
	return out
}

// Erase gives the edit that takes every live write of an entity away for good. Only what is in the trash can be erased.
func Erase(v View, id replica.ID) (replica.Edit, error) {
	e, err := existing(v, id)
	if err != nil {
		return replica.Edit{}, err
	}
	if replica.Deleted(e) != replica.Hidden {
		return replica.Edit{}, journal.Refuse("not_in_trash", "", "%s is not deleted: only what is deleted can be erased for good", id)
	}
	out := replica.Edit{ID: id, Kind: e.Kind}
	for _, f := range e.Names() {
		field := []string{f}
		over(&out, replica.Versions(e, field), field)
	}
	return out, nil
}

func existing(v View, id replica.ID) (*replica.Entity, error) {
	e, ok := v.Get(id)
	if !ok {
		return nil, journal.Refuse("missing", "", "%s is not in this journal", id)
	}
	return e, nil
}
