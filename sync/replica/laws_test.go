package replica_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
)

func TestApplyIdempotent(t *testing.T) {
	forEachHistory(t, func(t require.TestingT, r *rand.Rand, log []replica.Action) {
		s := replica.NewState()
		for i := range log {
			s.ApplyAny(&log[i])
			before := canon(s)
			again := r.IntN(i + 1)
			require.Equal(t, replica.Repeated, s.ApplyAny(&log[again]))
			require.Equal(t, replica.Repeated, s.Apply(&log[again]))
			require.Equal(t, before, canon(s))
		}
	})
}

func TestApplyCommutes(t *testing.T) {
	forEachHistory(t, func(t require.TestingT, r *rand.Rand, log []replica.Action) {
		want := canon(applied(t, log, inOrder(len(log))))
		for range 6 {
			order := r.Perm(len(log))
			for range r.IntN(len(log)) {
				order = append(order, r.IntN(len(log)))
			}
			require.Equal(t, want, canon(applied(t, log, order)))
		}
	})
}

// The server's rule takes a run's actions in their order and no other; runs among themselves come as they like.
func TestApplyTakesARunInOrder(t *testing.T) {
	forEachHistory(t, func(t require.TestingT, r *rand.Rand, log []replica.Action) {
		want := canon(applied(t, log, inOrder(len(log))))
		s := replica.NewState()
		for left := r.Perm(len(log)); len(left) > 0; {
			var ahead []int
			for _, i := range left {
				a := &log[i]
				before := s.Seen(a.Stamp.Run)
				switch got := s.Apply(a); {
				case a.Stamp.N == before+1:
					require.Equal(t, replica.Taken, got)
				default:
					require.Equal(t, replica.Ahead, got)
					require.Equal(t, before, s.Seen(a.Stamp.Run))
					ahead = append(ahead, i)
				}
			}
			left = ahead
		}
		require.NoError(t, s.Check())
		require.Equal(t, want, canon(s))
	})
}

func TestJoinLattice(t *testing.T) {
	forEachHistory(t, func(t require.TestingT, r *rand.Rand, log []replica.Action) {
		part := func() ([]int, *replica.State) {
			var which []int
			for _, i := range r.Perm(len(log)) {
				if r.IntN(2) == 0 {
					which = append(which, i)
				}
			}
			return which, applied(t, log, which)
		}
		inA, a := part()
		inB, b := part()
		inC, c := part()
		join := func(x, y *replica.State) *replica.State {
			j := replica.Join(x, y)
			require.NoError(t, j.Check())
			return j
		}
		wasA := canon(a)
		require.Equal(t, canon(a), canon(join(a, a)), "idempotent")
		require.Equal(t, canon(join(a, b)), canon(join(b, a)), "commutative")
		require.Equal(t, canon(join(join(a, b), c)), canon(join(a, join(b, c))), "associative")
		require.Equal(t, canon(applied(t, log, append(inA, inB...))), canon(join(a, b)), "the union applied")
		all := append(append(inA, inB...), inC...)
		require.Equal(t, canon(applied(t, log, all)), canon(join(join(a, b), c)), "the union applied")
		require.Equal(t, wasA, canon(a), "joining changed what was joined")
	})
}

func TestSameWinner(t *testing.T) {
	forEachHistory(t, func(t require.TestingT, r *rand.Rand, log []replica.Action) {
		one := applied(t, log, inOrder(len(log)))
		two := applied(t, log, r.Perm(len(log)))
		for e := range one.Entities() {
			o, ok := two.Get(e.ID)
			require.True(t, ok)
			for _, f := range e.Names() {
				mine, _ := e.Shown(f)
				theirs, _ := o.Shown(f)
				require.Equal(t, mine, theirs)
			}
			group := fields[:3]
			mine, ok := replica.ShownGroup(e, group)
			theirs, ok2 := replica.ShownGroup(o, group)
			require.Equal(t, ok, ok2)
			require.True(t, mine.Stamp == theirs.Stamp && mine.Same(theirs, group))
			require.Equal(t, replica.ClashGroup(e, group), replica.ClashGroup(o, group))
			require.Equal(t, replica.Deleted(e), replica.Deleted(o))
			if !ok {
				continue
			}
			for _, f := range group { // the shown version is the greatest of all live writes of the group
				for _, w := range e.Fields[f] {
					top := replica.Write{Stamp: mine.Stamp, At: mine.At}
					require.LessOrEqual(t, replica.CompareShown(w, top), 0)
				}
			}
		}
	})
}

func TestClockHarmless(t *testing.T) {
	forEachHistory(t, func(t require.TestingT, r *rand.Rand, log []replica.Action) {
		// Only the clocks differ: every device's is thrown about by a century.
		want := timeless(applied(t, log, inOrder(len(log))))
		wild := make([]replica.Action, len(log))
		for i, a := range log {
			a.At = r.Int64N(3_000_000_000_000)
			wild[i] = a
		}
		require.Equal(t, want, timeless(applied(t, wild, r.Perm(len(log)))))
	})
}

// timeless gives the live writes with every clock reading left out.
func timeless(s *replica.State) map[replica.ID]map[string]map[replica.Stamp]replica.Value {
	all := map[replica.ID]map[string]map[replica.Stamp]replica.Value{}
	for e := range s.Entities() {
		all[e.ID] = map[string]map[replica.Stamp]replica.Value{}
		for f, writes := range e.Fields {
			all[e.ID][f] = map[replica.Stamp]replica.Value{}
			for _, w := range writes {
				all[e.ID][f][w.Stamp] = w.Value
			}
		}
	}
	return all
}

// A delete and an edit made apart leave the entity to be seen, with all its other fields, in whatever order they meet.
func TestAddWins(t *testing.T) {
	forEachHistory(t, func(t require.TestingT, r *rand.Rand, log []replica.Action) {
		base := applied(t, log, inOrder(len(log)))
		for e := range base.Entities() {
			others := 0
			for _, f := range e.Names() {
				if f != replica.Gone {
					others++
				}
			}
			if replica.Deleted(e) != replica.NotDeleted || others == 0 {
				continue
			}
			list, ok := replica.ListOf(e)
			require.True(t, ok)
			del := replica.Action{Stamp: replica.Stamp{Run: run(900), N: 1}, Edits: []replica.Edit{{ID: e.ID, Kind: e.Kind,
				Set: map[string]replica.Value{replica.Gone: list}, Over: map[string][]replica.Stamp{replica.Gone: stampsOf(e, replica.Gone)}}}}
			alone := replica.Join(base, replica.NewState())
			alone.Apply(&del)
			gone, _ := alone.Get(e.ID)
			require.Equal(t, replica.Hidden, replica.Deleted(gone))

			f := fields[r.IntN(len(fields))]
			edit := replica.Action{Stamp: replica.Stamp{Run: run(901), N: 1}, Edits: []replica.Edit{{ID: e.ID, Kind: e.Kind,
				Set: map[string]replica.Value{f: replica.Text("meanwhile")}, Over: map[string][]replica.Stamp{f: stampsOf(e, f)}}}}
			for _, order := range [][]*replica.Action{{&del, &edit}, {&edit, &del}} {
				both := replica.Join(base, replica.NewState())
				both.Apply(order[0])
				both.Apply(order[1])
				kept, ok := both.Get(e.ID)
				require.True(t, ok)
				require.Equal(t, replica.DeletedAndChanged, replica.Deleted(kept))
				require.True(t, replica.Deleted(kept).Shown() && replica.Deleted(kept).Asks())
				for _, name := range e.Names() {
					if name != f && name != replica.Gone {
						require.Equal(t, e.Fields[name], kept.Fields[name], "a field was torn out")
					}
				}
				w, _ := kept.Shown(f)
				require.Equal(t, replica.Text("meanwhile"), w.Value)
			}
		}
	})
}

// Every value replaced by what only its owners can read: the same writes live.
func TestOpaque(t *testing.T) {
	forEachHistory(t, func(t require.TestingT, r *rand.Rand, log []replica.Action) {
		want := timeless(applied(t, log, inOrder(len(log))))
		sealed := make([]replica.Action, len(log))
		for i, a := range log {
			edits := a.Edits
			a.Edits = nil
			for _, ed := range edits {
				blobs := map[string]replica.Value{}
				for f := range ed.Set {
					blobs[f] = replica.Text(a.Stamp.String() + " " + f) // stands for any bytes, no two alike
				}
				ed.Set = blobs
				a.Edits = append(a.Edits, ed)
			}
			sealed[i] = a
		}
		got := timeless(applied(t, sealed, r.Perm(len(log))))
		for _, e := range want {
			for _, writes := range e {
				for s := range writes {
					writes[s] = replica.Null
				}
			}
		}
		for _, e := range got {
			for _, writes := range e {
				for s := range writes {
					writes[s] = replica.Null
				}
			}
		}
		require.Equal(t, want, got)
	})
}

// What Repair gives, applied to the one side, makes it the join.
func TestRepairMakesTheJoin(t *testing.T) {
	forEachHistory(t, func(t require.TestingT, r *rand.Rand, log []replica.Action) {
		part := func() *replica.State {
			var which []int
			for _, i := range r.Perm(len(log)) {
				if r.IntN(2) == 0 {
					which = append(which, i)
				}
			}
			return applied(t, log, which)
		}
		a, b := part(), part()
		want := replica.Join(a, b)
		got := map[replica.ID]*replica.Entity{}
		for e := range b.Entities() {
			got[e.ID] = e.Clone()
		}
		for _, p := range replica.Repair(a, b) {
			e := got[p.ID]
			if e == nil {
				e = &replica.Entity{ID: p.ID, Kind: p.Kind}
				got[p.ID] = e
			}
			for _, d := range p.Drop {
				require.True(t, e.Drop(d.Field, d.Stamp))
			}
			if p.Add != nil {
				for f, writes := range p.Add.Fields {
					for _, w := range writes {
						e.Put(f, w)
					}
				}
			}
			if e.Empty() {
				delete(got, p.ID)
			}
		}
		for e := range want.Entities() {
			require.NotNil(t, got[e.ID])
			require.Equal(t, string(e.AppendCanon(nil)), string(got[e.ID].AppendCanon(nil)))
			delete(got, e.ID)
		}
		require.Empty(t, got)
		require.Empty(t, replica.Repair(want, want))
	})
}
