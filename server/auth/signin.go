package auth

import (
	"context"
	"errors"
	"net/netip"
	"time"

	"fairmeasure/sync/store"
)

// The refusals of names and passwords.
var (
	// ErrWrong: no account of that name, or not its password; the two look the same.
	ErrWrong = errors.New("auth: wrong name or password")
	// ErrPassword: not 10 to 256 characters.
	ErrPassword = errors.New("auth: a password is 10 to 256 characters")
	// ErrAccountName: empty, longer than MaxName characters, or with control characters.
	ErrAccountName = errors.New("auth: a name is 1 to 60 printable characters")
	// ErrNameTaken: another account of this server has that name, perhaps in other letters' case.
	ErrNameTaken = errors.New("auth: another account has this name")
	// ErrSetUp: there is an owner already, or this start's set-up key is over, or it is another key.
	ErrSetUp = errors.New("auth: nothing to set up here")
)

// Arrival is someone who comes in with a name and a password, or makes them.
type Arrival struct {
	Name     string // the account's
	Password string
	Device   string        // what the device is to be called; empty for "Device"
	Journal  store.Journal // as Visitor.Journal
	Addr     netip.Addr
}

// setupKey is the living set-up key, hashed. It is not stored, so that it ends with the server.
type setupKey struct {
	hash  string
	until time.Time
}

var errNotBuilt = errors.New("auth: not built")

// OpenSetup makes the key by which the first owner's account is made, and forgets the one before. False when there is an
// owner.
func (d *Door) OpenSetup(life time.Duration) (key string, ok bool) { return "", false }

// Setup makes the owner's account with the key of OpenSetup, and lets its first device in.
func (d *Door) Setup(ctx context.Context, key string, a Arrival) (Pass, error) {
	return Pass{}, errNotBuilt
}

// SignIn lets a device in by name and password.
func (d *Door) SignIn(ctx context.Context, a Arrival) (Pass, error) { return Pass{}, errNotBuilt }

// Reauthenticate asks a signed-in caller for the password again. An account without one takes its name instead.
func (d *Door) Reauthenticate(ctx context.Context, who Caller, typed string) error {
	return errNotBuilt
}

// ChangePassword sets the account's password. An account that has one asks for it first.
func (d *Door) ChangePassword(ctx context.Context, who Caller, old, fresh string) error {
	return errNotBuilt
}
