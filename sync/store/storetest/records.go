package storetest

import (
	"encoding/binary"
	"errors"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/store"
)

// records lists "key=value" of the records whose keys begin with prefix, in the order the store gives them.
func records(t testing.TB, s Store, prefix string) []string {
	t.Helper()
	var list []string
	require.NoError(t, s.Read(ctx, func(r store.BookReader) error {
		list = each(t, r, prefix)
		return nil
	}))
	return list
}

func each(t testing.TB, r store.BookReader, prefix string) []string {
	t.Helper()
	var list []string
	require.NoError(t, r.Each([]byte(prefix), func(key, value []byte) bool {
		list = append(list, string(key)+"="+string(value))
		return true
	}))
	return list
}

func set(t testing.TB, s Store, pairs ...string) {
	t.Helper()
	require.NoError(t, s.Write(ctx, func(tx store.BookWriter) error {
		for i := 0; i < len(pairs); i += 2 {
			if err := tx.Set([]byte(pairs[i]), []byte(pairs[i+1])); err != nil {
				return err
			}
		}
		return nil
	}))
}

func testBook(t *testing.T, s Store) {
	require.Empty(t, records(t, s, ""))
	set(t, s, "u1", "one", "u2", "two", "empty", "", "\x00\xff", "\xff\x00")
	require.NoError(t, s.Read(ctx, func(r store.BookReader) error {
		for key, want := range map[string]string{"u1": "one", "u2": "two", "empty": "", "\x00\xff": "\xff\x00"} {
			value, ok, err := r.Get([]byte(key))
			require.NoError(t, err)
			require.True(t, ok, "%q", key)
			require.Equal(t, want, string(value))
		}
		for _, key := range []string{"u", "u11", "x"} {
			_, ok, err := r.Get([]byte(key))
			require.NoError(t, err)
			require.False(t, ok, "%q", key)
		}
		return nil
	}))
	require.NoError(t, s.Write(ctx, func(tx store.BookWriter) error {
		require.NoError(t, tx.Delete([]byte("u1")))
		require.NoError(t, tx.Delete([]byte("never there")))
		return tx.Set([]byte("u2"), []byte("again"))
	}))
	require.Equal(t, []string{"\x00\xff=\xff\x00", "empty=", "u2=again"}, records(t, s, ""))
	require.Empty(t, journals(t, s), "records are kept apart from journals")

	require.Error(t, s.Write(ctx, func(tx store.BookWriter) error { return tx.Set([]byte("k"), make([]byte, store.MaxRecord)) }))
	require.NoError(t, s.Write(ctx, func(tx store.BookWriter) error { return tx.Set([]byte("k"), make([]byte, store.MaxRecord-1)) }))
}

func testBookWhole(t *testing.T, s Store) {
	set(t, s, "a", "1", "b", "1")
	no := errors.New("no")
	err := s.Write(ctx, func(tx store.BookWriter) error {
		require.NoError(t, tx.Set([]byte("a"), []byte("2")))
		require.NoError(t, tx.Delete([]byte("b")))
		require.NoError(t, tx.Set([]byte("c"), []byte("2")))
		value, ok, err := tx.Get([]byte("a"))
		require.NoError(t, err)
		require.True(t, ok)
		require.Equal(t, "2", string(value), "it sees its own writes")
		_, ok, err = tx.Get([]byte("b"))
		require.NoError(t, err)
		require.False(t, ok)
		require.Equal(t, []string{"a=2", "c=2"}, each(t, tx, ""))
		require.NoError(t, tx.Delete([]byte("c")))
		require.NoError(t, tx.Set([]byte("b"), []byte("3")))
		require.Equal(t, []string{"a=2", "b=3"}, each(t, tx, ""))
		return no
	})
	require.Equal(t, no, err)
	require.Equal(t, []string{"a=1", "b=1"}, records(t, s, ""), "nothing is written")
}

func testBookOrder(t *testing.T, s Store) {
	set(t, s, "p\xff", "5", "p", "0", "pb", "4", "pa", "2", "pa\x00", "3", "o", "x", "q", "x")
	require.Equal(t, []string{"p=0", "pa=2", "pa\x00=3", "pb=4", "p\xff=5"}, records(t, s, "p"))
	require.Equal(t, []string{"pa=2", "pa\x00=3"}, records(t, s, "pa"))
	require.Empty(t, records(t, s, "pc"))
	set(t, s, "\xff\xff", "end")
	require.Equal(t, []string{"\xff\xff=end"}, records(t, s, "\xff"))

	stops := func(r store.BookReader) error {
		n := 0
		err := r.Each([]byte("p"), func(_, _ []byte) bool {
			n++
			return n < 2
		})
		require.Equal(t, 2, n, "it stops when told")
		return err
	}
	require.NoError(t, s.Read(ctx, stops))
	require.NoError(t, s.Write(ctx, func(tx store.BookWriter) error {
		require.NoError(t, tx.Set([]byte("pab"), []byte("new")))
		require.NoError(t, tx.Delete([]byte("pb")))
		require.Equal(t, []string{"p=0", "pa=2", "pa\x00=3", "pab=new", "p\xff=5"}, each(t, tx, "p"), "own writes take their place in the order")
		// Looking inside a look, and changing what it goes over, is allowed.
		var walked []string
		err := tx.Each([]byte("pa"), func(key, _ []byte) bool {
			walked = append(walked, string(key))
			require.NoError(t, tx.Delete(key))
			require.NoError(t, tx.Set([]byte("pazz"), nil))
			return stops(tx) == nil
		})
		require.Equal(t, []string{"pa", "pa\x00", "pab"}, walked)
		return err
	}))
	require.Equal(t, []string{"pazz="}, records(t, s, "pa"))
}

func testBookWriters(t *testing.T, s Store) {
	const writers, each = 8, 20
	var all sync.WaitGroup
	for range writers {
		all.Go(func() {
			for range each {
				err := s.Write(ctx, func(tx store.BookWriter) error {
					value, ok, err := tx.Get([]byte("count"))
					if err != nil {
						return err
					}
					var n uint64
					if ok {
						n = binary.BigEndian.Uint64(value)
					}
					next := binary.BigEndian.AppendUint64(nil, n+1)
					if err := tx.Set([]byte("twin"), next); err != nil {
						return err
					}
					return tx.Set([]byte("count"), next)
				})
				if err != nil {
					t.Error(err)
					return
				}
				if err := s.Read(ctx, func(r store.BookReader) error {
					a, _, err := r.Get([]byte("count"))
					if err != nil {
						return err
					}
					b, _, err := r.Get([]byte("twin"))
					if string(a) != string(b) {
						t.Errorf("half a write was seen: %x and %x", a, b)
					}
					return err
				}); err != nil {
					t.Error(err)
				}
			}
		})
	}
	all.Wait()
	require.NoError(t, s.Read(ctx, func(r store.BookReader) error {
		value, _, err := r.Get([]byte("count"))
		require.NoError(t, err)
		require.Equal(t, uint64(writers*each), binary.BigEndian.Uint64(value))
		return nil
	}))
}

func testBookOwnership(t *testing.T, s Store) {
	key, value := []byte("key"), []byte("value")
	require.NoError(t, s.Write(ctx, func(tx store.BookWriter) error {
		require.NoError(t, tx.Set(key, value))
		copy(key, "xxx")
		copy(value, "xxxxx")
		return nil
	}))
	var kept [][]byte
	require.NoError(t, s.Read(ctx, func(r store.BookReader) error {
		got, ok, err := r.Get([]byte("key"))
		require.NoError(t, err)
		require.True(t, ok)
		copy(got, "yyyyy")
		return r.Each(nil, func(k, v []byte) bool {
			kept = append(kept, k, v)
			return true
		})
	}))
	require.Equal(t, [][]byte{[]byte("key"), []byte("value")}, kept)
	copy(kept[1], "zzzzz")
	require.Equal(t, []string{"key=value"}, records(t, s, ""))
}
