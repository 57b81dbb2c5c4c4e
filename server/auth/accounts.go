package auth

import (
	"cmp"
	"context"
	"errors"
	"maps"
	"slices"
	"time"
)

// The refusals of invitations and roles.
var (
	// ErrNotOwner: only an owner may.
	ErrNotOwner = errors.New("auth: only an owner of this server may")
	// ErrInvitation: this code makes an account; Join takes it.
	ErrInvitation = errors.New("auth: this code is an invitation")
	// ErrNotInvitation: this code lets in a device of an account there is; Admit takes it.
	ErrNotInvitation = errors.New("auth: this code is no invitation")
	// ErrNoAccount: not there.
	ErrNoAccount = errors.New("auth: no such account")
)

// InvitationLife is how long an invitation is good.
const InvitationLife = 24 * time.Hour

// Invite makes a code with which somebody makes a member's account.
func (d *Door) Invite(ctx context.Context, who Caller) (DeviceCode, AskedCode, error) {
	return "", AskedCode{}, errNotBuilt
}

// Invitations gives the living invitations of the caller's account, oldest first.
func (d *Door) Invitations(ctx context.Context, who Caller) ([]AskedCode, error) {
	return nil, errNotBuilt
}

// CancelInvitation ends one.
func (d *Door) CancelInvitation(ctx context.Context, who Caller, id string) error {
	return errNotBuilt
}

// Join makes a member's account with an invitation, and lets its first device in.
func (d *Door) Join(ctx context.Context, code string, a Arrival) (Pass, error) {
	return Pass{}, errNotBuilt
}

// CreateAccount makes an account without a password, for the terminal.
func (d *Door) CreateAccount(ctx context.Context, name string, role Role) (Account, error) {
	return Account{}, errNotBuilt
}

// AccountNamed finds an account by its name.
func (d *Door) AccountNamed(name string) (Account, bool) { return Account{}, false }

// Accounts gives every account, oldest first.
func (d *Door) Accounts() []Account {
	d.mu.RLock()
	defer d.mu.RUnlock()
	return slices.SortedFunc(maps.Values(d.accounts), func(a, b Account) int {
		return cmp.Or(a.Created.Compare(b.Created), cmp.Compare(a.ID, b.ID))
	})
}

// Recover makes a code that admits one device of an account, for the terminal. The account's password is taken away, and
// with shut every device of it is removed.
func (d *Door) Recover(ctx context.Context, id AccountID, life time.Duration, shut bool) (DeviceCode, error) {
	return "", errNotBuilt
}

// RemoveAccount takes an account away with all its devices, codes and audit. Its journal is the caller's to erase first.
func (d *Door) RemoveAccount(ctx context.Context, id AccountID) error { return errNotBuilt }

// RenameDevice gives a device of the caller's account another name.
func (d *Door) RenameDevice(ctx context.Context, who Caller, id DeviceID, name string) error {
	return errNotBuilt
}
