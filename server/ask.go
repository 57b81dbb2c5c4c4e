package server

import (
	"context"

	"fairmeasure/sync/schema"
	"fairmeasure/sync/store"
)

// Ask answers one question about a journal from a store, as the routes of the totals do: for a command that works on the
// data of a server that is stopped. names gives the names of the account's devices by their ids.
func Ask(ctx context.Context, st store.Store, j store.Journal, names func(string) string, now schema.Now, question string) ([]byte, error) {
	return newReadings(st).ask(ctx, j, names, func(r *schema.Reader, v schema.View) ([]byte, error) {
		return r.Ask(v, now, []byte(question))
	})
}
