package replica_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
)

func stamp(run int, n uint64) replica.Stamp {
	return replica.Stamp{Run: replica.Run("run0000000" + string(rune('a'+run))), N: n}
}

func TestParseStamp(t *testing.T) {
	for _, ok := range []string{"Qm3kZ0aT1xV.17", "-_aaaaaaaaa.1", "aaaaaaaaaaa.9007199254740991"} {
		s, good := replica.ParseStamp(ok)
		require.True(t, good, ok)
		require.Equal(t, ok, s.String())
	}
	for _, bad := range []string{"", ".", "Qm3kZ0aT1xV", "Qm3kZ0aT1xV.", "Qm3kZ0aT1xV.0", "Qm3kZ0aT1xV.01", "Qm3kZ0aT1xV.+1",
		"Qm3kZ0aT1xV.-1", "Qm3kZ0aT1x.1", "Qm3kZ0aT1xVV.1", "Qm3kZ0aT1x/.1", "Qm3kZ0aT1xV.1.2", "Qm3kZ0aT1xV.9007199254740992", "Qm3kZ0aT1xV.1_0"} {
		_, good := replica.ParseStamp(bad)
		require.False(t, good, bad)
	}
}

// What early is for: a device that brings a replacement to a server that forgot what it replaces.
func TestReplacedBeforeItArrived(t *testing.T) {
	a := replica.Action{Stamp: stamp(0, 1), Edits: []replica.Edit{{ID: ids[0], Kind: "pour", Set: map[string]replica.Value{"a": replica.Int(80), "b": replica.Int(1)}}}}
	b := replica.Action{Stamp: stamp(1, 1), Edits: []replica.Edit{{ID: ids[0], Kind: "pour",
		Set: map[string]replica.Value{"a": replica.Int(85)}, Over: map[string][]replica.Stamp{"a": {a.Stamp}}}}}
	s := replica.NewState()
	require.Equal(t, replica.Taken, s.Apply(&b))
	require.Equal(t, replica.Taken, s.Apply(&a))
	e, _ := s.Get(ids[0])
	require.Len(t, e.Fields["a"], 1)
	require.Equal(t, replica.Int(85), e.Fields["a"][0].Value)
	require.Equal(t, replica.Int(1), e.Fields["b"][0].Value)
	require.NotContains(t, canon(s), "early")
}

func TestSameWriteKeepsTheEarlierTime(t *testing.T) {
	e := &replica.Entity{ID: ids[0], Kind: "pour"}
	e.Put("a", replica.Write{Stamp: stamp(0, 1), At: 20, Value: replica.Int(1)})
	e.Put("a", replica.Write{Stamp: stamp(0, 1), At: 10, Value: replica.Int(1)})
	require.Equal(t, []replica.Write{{Stamp: stamp(0, 1), At: 10, Value: replica.Int(1)}}, e.Fields["a"])
}

func TestGroup(t *testing.T) {
	group := []string{"typed", "unit", "vol_ul"}
	put := func(e *replica.Entity, s replica.Stamp, at int64, values ...replica.Value) {
		for i, v := range values {
			e.Put(group[i], replica.Write{Stamp: s, At: at, Value: v})
		}
	}
	e := &replica.Entity{ID: ids[1], Kind: "line"}
	_, ok := replica.ShownGroup(e, group)
	require.False(t, ok)

	put(e, stamp(0, 1), 100, replica.Text("45 ml"), replica.Text("ml"), replica.Int(45000))
	require.False(t, replica.ClashGroup(e, group))
	put(e, stamp(1, 1), 200, replica.Text("45 ml"), replica.Text("ml"), replica.Int(45000))
	require.False(t, replica.ClashGroup(e, group), "equal versions are one")

	put(e, stamp(2, 1), 150, replica.Text("45 oz"), replica.Text("oz"), replica.Int(1330800))
	require.True(t, replica.ClashGroup(e, group))
	v, _ := replica.ShownGroup(e, group)
	require.Equal(t, stamp(1, 1), v.Stamp)
	all := replica.Versions(e, group)
	require.Equal(t, []replica.Stamp{stamp(1, 1), stamp(2, 1), stamp(0, 1)}, []replica.Stamp{all[0].Stamp, all[1].Stamp, all[2].Stamp})

	t.Run("no version borrows from another", func(t *testing.T) {
		part := &replica.Entity{ID: ids[1], Kind: "line"}
		put(part, stamp(0, 1), 100, replica.Text("45 ml"), replica.Text("ml"), replica.Int(45000))
		part.Put("typed", replica.Write{Stamp: stamp(1, 1), At: 200, Value: replica.Text("2 dashes")})
		v, _ := replica.ShownGroup(part, group)
		_, has := v.Value("vol_ul")
		require.False(t, has)
		require.True(t, replica.ClashGroup(part, group))
	})
}

func TestDeleted(t *testing.T) {
	entity := func(writes ...string) *replica.Entity { // "field stamp" or "gone stamp=list" or "gone stamp=null"
		e := &replica.Entity{ID: ids[0], Kind: "pour"}
		for _, w := range writes {
			head, value, _ := strings.Cut(w, "=")
			f, s, _ := strings.Cut(head, " ")
			at, ok := replica.ParseStamp(s)
			require.True(t, ok, s)
			v := replica.Text(value)
			if value == "null" {
				v = replica.Null
			}
			e.Put(f, replica.Write{Stamp: at, Value: v})
		}
		return e
	}
	const a1, b1, b2, c1 = "aaaaaaaaaaa.1", "bbbbbbbbbbb.1", "bbbbbbbbbbb.2", "ccccccccccc.1"
	for _, c := range []struct {
		name string
		e    *replica.Entity
		want replica.Deletion
	}{
		{"plain", entity("a " + a1), replica.NotDeleted},
		{"nothing left", entity(), replica.NotDeleted},
		{"deleted", entity("a "+a1, "b "+b1, "gone "+c1+"="+a1+" "+b1), replica.Hidden},
		{"deleted twice, each list in part", entity("a "+a1, "b "+b1, "gone "+c1+"="+a1, "gone "+b2+"="+b1), replica.Hidden},
		{"deleted with an empty list", entity("gone " + c1 + "="), replica.Hidden},
		{"changed meanwhile", entity("a "+a1, "a "+b2, "gone "+c1+"="+a1), replica.DeletedAndChanged},
		{"a rival of a listed write", entity("a "+a1, "b "+b2, "gone "+c1+"="+a1+" "+b1), replica.DeletedAndChanged},
		{"restored", entity("a "+a1, "gone "+c1+"=null"), replica.NotDeleted},
		{"deleted and restored apart", entity("a "+a1, "gone "+c1+"="+a1, "gone "+b1+"=null"), replica.DeletedAndRestored},
		{"a list nobody can read", entity("a "+a1, "gone "+c1+"=sealed"), replica.DeletedAndChanged},
	} {
		t.Run(c.name, func(t *testing.T) { require.Equal(t, c.want, replica.Deleted(c.e)) })
	}
}

func TestListOf(t *testing.T) {
	e := &replica.Entity{ID: ids[0], Kind: "pour"}
	e.Put("b", replica.Write{Stamp: stamp(1, 10)})
	e.Put("a", replica.Write{Stamp: stamp(1, 10)})
	e.Put("c", replica.Write{Stamp: stamp(1, 9)})
	e.Put("c", replica.Write{Stamp: stamp(0, 1)})
	e.Put(replica.Gone, replica.Write{Stamp: stamp(0, 2)})
	v, ok := replica.ListOf(e)
	require.True(t, ok)
	text, _ := v.AsText()
	require.Equal(t, "run0000000a.1 run0000000b.9 run0000000b.10", text)
	require.Equal(t, []replica.Stamp{stamp(0, 1), stamp(1, 9), stamp(1, 10)}, replica.ParseList(text))

	for n := range uint64(700) {
		e.Put("c", replica.Write{Stamp: stamp(2, n+1)})
	}
	_, ok = replica.ListOf(e)
	require.False(t, ok, "700 stamps are more than 8 KiB")
}

func TestCheckAction(t *testing.T) {
	good := func() replica.Action {
		return replica.Action{Stamp: stamp(0, 1), At: 1_790_000_000_000, Edits: []replica.Edit{
			{ID: ids[0], Kind: "pour", Set: map[string]replica.Value{"score_x10": replica.Int(80)}, Over: map[string][]replica.Stamp{"score_x10": {stamp(1, 4)}}},
			{ID: "set.country", Kind: "set", Set: map[string]replica.Value{"value": replica.Text("IE")}},
		}}
	}
	a := good()
	require.Nil(t, replica.CheckAction(&a))
	empty := replica.Action{Stamp: stamp(0, 1)}
	require.Nil(t, replica.CheckAction(&empty), "an action without edits is one")
	for _, c := range []struct {
		code   string
		change func(*replica.Action)
	}{
		{"bad_stamp", func(a *replica.Action) { a.Stamp.N = 0 }},
		{"bad_stamp", func(a *replica.Action) { a.Stamp.Run = "short" }},
		{"bad_time", func(a *replica.Action) { a.At = -1 }},
		{"bad_time", func(a *replica.Action) { a.At = 1 << 53 }},
		{"too_many_edits", func(a *replica.Action) { a.Edits = make([]replica.Edit, 201) }},
		{"bad_id", func(a *replica.Action) { a.Edits[0].ID = "01hzzzzzzz0000000000000001" }},
		{"bad_id", func(a *replica.Action) { a.Edits[0].ID = "81HZZZZZZZ0000000000000001" }},
		{"bad_id", func(a *replica.Action) { a.Edits[0].ID = "set." }},
		{"bad_kind", func(a *replica.Action) { a.Edits[0].Kind = "Pour" }},
		{"edited_twice", func(a *replica.Action) { a.Edits[1].ID = a.Edits[0].ID }},
		{"too_many_fields", func(a *replica.Action) {
			for i := range 257 {
				a.Edits[0].Set["f"+strings.Repeat("x", i%30)+string(rune('a'+i/30))] = replica.Null
			}
		}},
		{"bad_field", func(a *replica.Action) { a.Edits[0].Set["Score"] = replica.Null }},
		{"bad_field", func(a *replica.Action) { a.Edits[0].Set[strings.Repeat("a", 41)] = replica.Null }},
		{"bad_field", func(a *replica.Action) { a.Edits[0].Over["2nd"] = nil }},
		{"text_too_long", func(a *replica.Action) { a.Edits[0].Set["note"] = replica.Text(strings.Repeat("a", 8193)) }},
		{"text_not_utf8", func(a *replica.Action) { a.Edits[0].Set["note"] = replica.Text("\xff") }},
		{"number_too_big", func(a *replica.Action) { a.Edits[0].Set["n"] = replica.Int(1 << 53) }},
		{"replaces_itself", func(a *replica.Action) { a.Edits[0].Over["note"] = []replica.Stamp{a.Stamp} }},
		{"bad_stamp", func(a *replica.Action) { a.Edits[0].Over["note"] = []replica.Stamp{{}} }},
	} {
		t.Run(c.code, func(t *testing.T) {
			a := good()
			c.change(&a)
			r := replica.CheckAction(&a)
			require.NotNil(t, r)
			require.Equal(t, c.code, r.Code)
			require.NotEmpty(t, r.Error())
		})
	}
}

func TestCheckFindsWhatNoHistoryMakes(t *testing.T) {
	s := replica.NewState()
	e := &replica.Entity{ID: ids[0], Kind: "pour"}
	e.Put("a", replica.Write{Stamp: stamp(0, 1)})
	s.Adopt(e)
	require.ErrorContains(t, s.Check(), "never seen")
	s.RaiseSeen(stamp(0, 1).Run, 1)
	require.NoError(t, s.Check())
	e.Fields["a"] = append(e.Fields["a"], e.Fields["a"][0])
	require.ErrorContains(t, s.Check(), "out of order")
}

func FuzzParseList(f *testing.F) {
	f.Add("aaaaaaaaaaa.1 bbbbbbbbbbb.22")
	f.Add(" . aaaaaaaaaaa.0")
	f.Fuzz(func(t *testing.T, text string) {
		stamps := replica.ParseList(text)
		again := replica.FormatList(stamps)
		require.Equal(t, again, replica.FormatList(replica.ParseList(again)))
	})
}
