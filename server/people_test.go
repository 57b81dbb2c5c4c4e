package server_test

import (
	"bytes"
	"context"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/server"
	"fairmeasure/server/auth"
	"fairmeasure/sync/store"
)

// The people of a house.

const quiet = "a quiet orchard, 1 pear"

// brief makes a stream of pokes end at once, so that a test can read it whole.
func brief(c *server.Config) { c.Streams.Life = time.Millisecond }

// tick lets a second pass: so many passwords are looked at in one, and not more.
func (h *house) tick() { h.clock.move(time.Second) }

// setUp makes the owner's account with its password, and lets its first device in.
func (h *house) setUp(name, device string) *device {
	h.t.Helper()
	h.tick()
	key, ok := h.door.OpenSetup(time.Hour)
	require.True(h.t, ok)
	return h.come("setup", map[string]string{"key": key, "name": name, "password": quiet, "device": device})
}

// asked makes a member's account with its password, by an invitation of an owner.
func (h *house) asked(owner *device, name, device string) *device {
	h.t.Helper()
	h.tick()
	return h.come("join", map[string]string{"code": owner.invite().Code, "name": name, "password": quiet, "device": device})
}

func (d *device) invite() askedCode {
	d.h.t.Helper()
	return read[askedCode](d.h.t, d.post("/api/v1/accounts/invitations", "{}"), 200)
}

// person makes an account without a password, as the keeper does at the terminal, and lets its first device in.
func (h *house) person(name string, role auth.Role) *device {
	h.t.Helper()
	a, err := h.door.CreateAccount(context.Background(), name, role)
	require.NoError(h.t, err)
	return h.recovered(a.ID, name+"'s phone")
}

func (h *house) recovered(a auth.AccountID, device string) *device {
	h.t.Helper()
	code, err := h.door.Recover(context.Background(), a, time.Hour, false)
	require.NoError(h.t, err)
	return h.come("pair", map[string]string{"code": code.String(), "name": device})
}

// account finds one by its name.
func (h *house) account(name string) auth.Account {
	h.t.Helper()
	for _, a := range h.door.Accounts() {
		if a.Name == name {
			return a
		}
	}
	require.Fail(h.t, "no account", name)
	return auth.Account{}
}

// swapRoles makes owners members and members owners, in the book, and opens the door anew.
func (h *house) swapRoles() {
	h.t.Helper()
	require.NoError(h.t, h.store.Write(context.Background(), func(tx store.BookWriter) error {
		return tx.Each([]byte("u"), func(k, v []byte) bool {
			swapped := bytes.Replace(v, []byte(`"role":"owner"`), []byte(`"role":"?"`), 1)
			swapped = bytes.Replace(swapped, []byte(`"role":"member"`), []byte(`"role":"owner"`), 1)
			swapped = bytes.Replace(swapped, []byte(`"role":"?"`), []byte(`"role":"member"`), 1)
			require.NotEqual(h.t, v, swapped)
			require.NoError(h.t, tx.Set(k, swapped))
			return true
		})
	}))
	h.restart()
}

// everything gives a journal as the store has it.
func (h *house) everything(j string) (store.Page, error) {
	var page store.Page
	err := h.store.View(context.Background(), store.Journal(j), func(r store.Reader) (err error) {
		page, err = r.After(store.Mark{}, store.Limits{})
		return err
	})
	return page, err
}

// recordsWith gives the records of the book that have one of some words in key or value.
func (h *house) recordsWith(words ...string) map[string]string {
	h.t.Helper()
	out := map[string]string{}
	require.NoError(h.t, h.store.Read(context.Background(), func(r store.BookReader) error {
		return r.Each(nil, func(k, v []byte) bool {
			for _, w := range words {
				if bytes.Contains(k, []byte(w)) || bytes.Contains(v, []byte(w)) {
					out[string(k)] = string(v)
				}
			}
			return true
		})
	}))
	return out
}
