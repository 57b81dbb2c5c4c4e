package memstore_test

import (
	"testing"

	"fairmeasure/sync/store/memstore"
	"fairmeasure/sync/store/storetest"
)

func TestStore(t *testing.T) {
	storetest.Run(t, func(testing.TB) storetest.Store { return memstore.New() }, storetest.Options{})
}

func TestStoreAfterSnapshot(t *testing.T) {
	storetest.Run(t, func(testing.TB) storetest.Store { return memstore.New().Snapshot() }, storetest.Options{})
}
