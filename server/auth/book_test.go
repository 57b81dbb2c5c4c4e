package auth_test

import (
	"testing"

	"fairmeasure/sync/store"
	"fairmeasure/sync/store/memstore"
)

func newBook(t testing.TB) store.Book {
	st := memstore.New()
	t.Cleanup(func() { st.Close() })
	return st
}
