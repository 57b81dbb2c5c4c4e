package schema_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
)

// two gives a phone and a laptop that hold the same journal.
func two(t *testing.T) (phone, laptop *book) {
	phone, laptop = orchard(t, "phone"), newBook(t, "laptop")
	phone.join(laptop)
	return phone, laptop
}

func (b *book) lines(spec replica.ID) []string {
	return typedOf(schema.Read(b, b.now).Lines(spec))
}

// form is a spec as a page showed it when it was opened. Whatever happens meanwhile, it sends what was changed on it.
type form struct {
	spec  replica.ID
	lines []obj
}

func (b *book) form(spec replica.ID) *form {
	f := &form{spec: spec}
	for _, l := range schema.Read(b, b.now).Lines(spec) {
		f.lines = append(f.lines, obj{"keep": l.ID, "typed": l.Typed, "was": l.Typed})
	}
	return f
}

func (f *form) add(at int, id replica.ID, typed string) *form {
	f.lines = slices.Insert(f.lines, at, obj{"id": id, "typed": typed})
	return f
}

func (f *form) retype(at int, typed string) *form {
	f.lines[at]["typed"] = typed
	return f
}

func (f *form) up(at int) *form {
	l := f.lines[at]
	l["moved"] = true
	f.lines = slices.Insert(slices.Delete(f.lines, at, at+1), at-1, l)
	return f
}

func (f *form) remove(at int) *form {
	l := f.lines[at]
	l["gone"] = true
	f.lines = append(slices.Delete(f.lines, at, at+1), l)
	return f
}

func (f *form) save(more obj) obj {
	in := obj{"do": "spec", "id": sourID, "lines": f.lines}
	for k, v := range more {
		in[k] = v
	}
	return in
}

const (
	gin, pear, quince    = "1¼ oz juniper-heavy gin", "½ oz pear eau-de-vie", "½ oz quince liqueur, 24 %"
	lemon, honeyed, drop = "¾ oz lemon juice", "½ oz honey syrup", "2 dashes orange bitters, 45 %"
)

// TestChangedApart: what two devices do to one spec apart is all there afterwards, in one order on both.
func TestChangedApart(t *testing.T) {
	type act func(b *book) obj
	one := func(change func(*form) *form, more obj) act {
		return func(b *book) obj { return change(b.form(sourID)).save(more) }
	}
	same := func(f *form) *form { return f }
	for name, c := range map[string]struct {
		phone, laptop act
		want          []string
		name          string
		clashes       int
	}{
		"each adds a line at the end": {
			one(func(f *form) *form { return f.add(6, newID(91), "1 barspoon verjus") }, nil), one(func(f *form) *form { return f.add(6, newID(92), "1 dash saline") }, nil),
			[]string{gin, pear, quince, lemon, honeyed, drop, "1 barspoon verjus", "1 dash saline"}, "", 0,
		},
		"each adds the very same line": {
			one(func(f *form) *form { return f.add(6, newID(91), "1 barspoon verjus") }, nil), one(func(f *form) *form { return f.add(6, newID(92), "1 barspoon verjus") }, nil),
			[]string{gin, pear, quince, lemon, honeyed, drop, "1 barspoon verjus", "1 barspoon verjus"}, "", 0,
		},
		"each adds lines in the same place": {
			one(func(f *form) *form { return f.add(1, newID(91), "10 ml rum").add(2, newID(92), "11 ml rum") }, nil),
			one(func(f *form) *form { return f.add(1, newID(93), "20 ml rum").add(2, newID(94), "21 ml rum") }, nil),
			[]string{gin, "10 ml rum", "20 ml rum", "11 ml rum", "21 ml rum", pear, quince, lemon, honeyed, drop}, "", 0,
		},
		"one adds, the other turns the order": {
			one(func(f *form) *form { return f.add(6, newID(91), "1 dash saline") }, nil), one(func(f *form) *form { return f.up(5).up(4).up(3).up(2).up(1) }, nil),
			[]string{drop, gin, pear, quince, lemon, honeyed, "1 dash saline"}, "", 0,
		},
		"both turn the order": {
			one(func(f *form) *form { return f.up(1) }, nil), one(func(f *form) *form { return f.up(5) }, nil),
			[]string{pear, gin, quince, lemon, drop, honeyed}, "", 0,
		},
		"one renames, the other turns the order": {
			one(same, obj{"name": "Second"}), one(func(f *form) *form { return f.up(1) }, nil),
			[]string{pear, gin, quince, lemon, honeyed, drop}, "Second", 0,
		},
		"one adds, the other removes the line before it": {
			one(func(f *form) *form { return f.add(6, newID(91), "1 dash saline") }, nil), one(func(f *form) *form { return f.remove(5) }, nil),
			[]string{gin, pear, quince, lemon, honeyed, "1 dash saline"}, "", 0,
		},
		"both retype one line": {
			one(func(f *form) *form { return f.retype(3, "20 ml lemon juice") }, nil), one(func(f *form) *form { return f.retype(3, "25 ml lemon juice") }, nil),
			[]string{gin, pear, quince, "25 ml lemon juice", honeyed, drop}, "", 1,
		},
		"each adds, turns the order and renames": {
			one(func(f *form) *form { return f.up(1).add(6, newID(91), "1 dash saline") }, obj{"name": "Of the phone"}),
			one(func(f *form) *form { return f.up(5).add(6, newID(92), "1 barspoon verjus") }, obj{"name": "Of the laptop"}),
			[]string{pear, gin, quince, lemon, drop, honeyed, "1 barspoon verjus", "1 dash saline"}, "Of the laptop", 1,
		},
	} {
		t.Run(name, func(t *testing.T) {
			phone, laptop := two(t)
			of, there := c.phone(phone), c.laptop(laptop)
			phone.do(of)
			laptop.now.MS++
			laptop.do(there)
			phone.join(laptop)
			require.Equal(t, c.want, phone.lines(sourID))
			require.Equal(t, phone.lines(sourID), laptop.lines(sourID))
			s, _ := schema.Read(laptop, laptop.now).Spec(sourID)
			require.Equal(t, c.name, s.Name)
			require.Len(t, phone.clashes(), c.clashes)
			for b, in := range map[*book]obj{phone: of, laptop: there} { // a repeat says nothing new
				before := b.lines(sourID)
				plan, err := b.plan(in)
				require.NoError(t, err)
				b.apply(plan)
				require.ElementsMatch(t, before, b.lines(sourID))
			}
		})
	}
}

// TestOpenForm: a form that was opened before other changes came says what was changed on it, and nothing else.
func TestOpenForm(t *testing.T) {
	for name, c := range map[string]struct {
		here  func(*form) *form
		there func(*form) *form
		want  []string
		clash []string // both texts of the one line that is asked about
		looks string   // what needs a look
	}{
		"a line that came meanwhile stays": {
			func(f *form) *form { return f.add(6, newID(91), "1 dash saline") }, func(f *form) *form { return f.add(6, newID(92), "1 barspoon verjus") },
			[]string{gin, pear, quince, lemon, honeyed, drop, "1 dash saline", "1 barspoon verjus"}, nil, "",
		},
		"also an equal one": {
			func(f *form) *form { return f.add(6, newID(91), "1 dash saline") }, func(f *form) *form { return f.add(6, newID(92), "1 dash saline") },
			[]string{gin, pear, quince, lemon, honeyed, drop, "1 dash saline", "1 dash saline"}, nil, "",
		},
		"a text changed elsewhere stays": {
			func(f *form) *form { return f.retype(0, "40 ml juniper-heavy gin") }, func(f *form) *form { return f.retype(3, "20 ml lemon juice") },
			[]string{"40 ml juniper-heavy gin", pear, quince, "20 ml lemon juice", honeyed, drop}, nil, "",
		},
		"a text changed on both is asked about": {
			func(f *form) *form { return f.retype(3, "20 ml lemon juice") }, func(f *form) *form { return f.retype(3, "25 ml lemon juice") },
			[]string{gin, pear, quince, "20 ml lemon juice", honeyed, drop}, []string{"20 ml lemon juice", "25 ml lemon juice"}, "",
		},
		"a text changed alike is not": {
			func(f *form) *form { return f.retype(3, "20 ml lemon juice") }, func(f *form) *form { return f.retype(3, "20 ml lemon juice") },
			[]string{gin, pear, quince, "20 ml lemon juice", honeyed, drop}, nil, "",
		},
		"an order turned elsewhere stays": {
			func(f *form) *form { return f.retype(0, "40 ml juniper-heavy gin") }, func(f *form) *form { return f.up(5).up(4) },
			[]string{"40 ml juniper-heavy gin", pear, quince, drop, lemon, honeyed}, nil, "",
		},
		"a line deleted elsewhere stays deleted": {
			func(f *form) *form { return f.retype(0, "40 ml juniper-heavy gin").add(5, newID(91), "1 dash saline") }, func(f *form) *form { return f.remove(4) },
			[]string{"40 ml juniper-heavy gin", pear, quince, lemon, "1 dash saline", drop}, nil, "",
		},
		"a line deleted elsewhere and retyped here is shown": {
			func(f *form) *form { return f.retype(4, "10 ml honey syrup") }, func(f *form) *form { return f.remove(4) },
			[]string{gin, pear, quince, lemon, "10 ml honey syrup", drop}, nil, "deleted_changed",
		},
		"a line retyped elsewhere and deleted here is shown": {
			func(f *form) *form { return f.remove(4) }, func(f *form) *form { return f.retype(4, "10 ml honey syrup") },
			[]string{gin, pear, quince, lemon, "10 ml honey syrup", drop}, nil, "deleted_changed",
		},
		"a line deleted on both is deleted": {
			func(f *form) *form { return f.remove(4) }, func(f *form) *form { return f.remove(4) },
			[]string{gin, pear, quince, lemon, drop}, nil, "",
		},
	} {
		t.Run(name, func(t *testing.T) {
			phone, laptop := two(t)
			f := c.here(phone.form(sourID))
			laptop.do(c.there(laptop.form(sourID)).save(nil))
			phone.join(laptop) // while the form is open
			phone.now.MS += minute
			phone.do(f.save(nil))
			require.Equal(t, c.want, phone.lines(sourID))
			all := phone.clashes()
			if c.clash == nil {
				require.Empty(t, all)
			} else {
				require.Len(t, all, 1)
				require.ElementsMatch(t, c.clash, texts(all[0]))
			}
			var looks []string
			for _, l := range dig(t, phone.ask(obj{"q": "keeper"}), "needs_look").([]any) {
				looks = append(looks, l.(obj)["code"].(string))
			}
			if c.looks == "" {
				require.Empty(t, looks)
			} else {
				require.Equal(t, []string{c.looks}, looks)
			}
		})
	}
	t.Run("a spec deleted elsewhere cannot be changed, and says so", func(t *testing.T) {
		phone, laptop := two(t)
		made := obj{"do": "spec", "id": newID(30), "name": "Third", "lines": []obj{{"id": newID(31), "typed": "45 ml gin"}}}
		phone.do(made)
		phone.join(laptop)
		f := phone.form(sourID)
		laptop.do(obj{"do": "delete", "id": sourID, "also": []replica.ID{newID(30)}})
		phone.join(laptop)
		for _, in := range []obj{f.save(obj{"name": "Second"}), phone.form(newID(30)).add(0, newID(91), "1 dash saline").save(nil), f.up(1).save(nil), f.remove(5).save(nil)} {
			require.Equal(t, "not_found", phone.refused(in))
		}
		require.Empty(t, must(phone.plan(made)).Edits, "the act that made it may be repeated")
		phone.do(obj{"do": "erase", "id": sourID})
		require.Equal(t, "not_found", phone.refused(f.save(nil)), "nor one that is erased: nothing is made of what was changed on it")
	})
	t.Run("a line erased elsewhere", func(t *testing.T) {
		phone, laptop := two(t)
		f := phone.form(sourID)
		honey := laptop.line(sourID, 4)
		laptop.do(laptop.form(sourID).remove(4).save(nil))
		laptop.do(obj{"do": "erase", "id": honey})
		phone.join(laptop)
		phone.do(f.retype(0, "40 ml juniper-heavy gin").save(nil))
		require.Equal(t, []string{"40 ml juniper-heavy gin", pear, quince, lemon, drop}, phone.lines(sourID))
		f.lines[4]["id"] = newID(91)
		phone.do(f.retype(4, "10 ml honey syrup").save(nil))
		require.Equal(t, []string{"40 ml juniper-heavy gin", pear, quince, lemon, "10 ml honey syrup", drop}, phone.lines(sourID), "what was typed is a line anew")
	})
}
