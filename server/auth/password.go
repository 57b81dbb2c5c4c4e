package auth

import (
	"context"
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"
	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"

	"fairmeasure/sync/store"
)

// The characters of a password, counted after NFC. Nothing else is demanded of it.
const (
	MinPassword = 10
	MaxPassword = 256
)

// How passwords are hashed today. Memory, passes and lanes are the minimum that the OWASP Password Storage Cheat Sheet
// gives for argon2id (m=19456, t=2, p=1); the sizes of salt and tag are those RFC 9106, section 4, recommends with it.
const (
	hashMemory = 19456 // KiB
	hashPasses = 2
	hashLanes  = 1
	saltSize   = 16
	tagSize    = 32

	hashesAtOnce = 2 // chosen: two hashes hold 38 MiB
)

// passwordHash is a stored password, read from its PHC string: $argon2id$v=19$m=19456,t=2,p=1$salt$tag.
type passwordHash struct {
	memory uint32 // KiB
	passes uint32
	lanes  uint8
	salt   []byte
	tag    []byte
}

// What a stored hash may ask for (chosen): beyond it a record is damaged, and would take the server's memory.
const (
	maxHashMemory = 256 << 10 // KiB
	maxHashPasses = 16
	maxHashLanes  = 8
	minSaltSize   = 8 // RFC 9106 section 3.1
	minTagSize    = 16
	maxHashPart   = 64
)

var errPHC = errors.New("stored password is no argon2id hash this server takes")

var phcText = base64.RawStdEncoding.Strict()

// parsePHC reads what String writes, and nothing that String would write otherwise.
func parsePHC(text string) (passwordHash, error) {
	parts := strings.Split(text, "$")
	if len(parts) != 6 || parts[0] != "" || parts[1] != "argon2id" || parts[2] != "v="+strconv.Itoa(argon2.Version) {
		return passwordHash{}, errPHC
	}
	params := strings.Split(parts[3], ",")
	if len(params) != 3 {
		return passwordHash{}, errPHC
	}
	memory, okM := phcNumber(params[0], "m=", maxHashMemory)
	passes, okT := phcNumber(params[1], "t=", maxHashPasses)
	lanes, okP := phcNumber(params[2], "p=", maxHashLanes)
	salt, errS := phcText.DecodeString(parts[4])
	tag, errT := phcText.DecodeString(parts[5])
	h := passwordHash{memory, passes, uint8(lanes), salt, tag}
	switch {
	case !okM || !okT || !okP || errS != nil || errT != nil,
		memory < 8*lanes, // RFC 9106 section 3.1
		len(salt) < minSaltSize || len(salt) > maxHashPart,
		len(tag) < minTagSize || len(tag) > maxHashPart,
		h.String() != text: // the decoder of base64 skips line ends
		return passwordHash{}, errPHC
	}
	return h, nil
}

func phcNumber(text, name string, most uint32) (uint32, bool) {
	digits, ok := strings.CutPrefix(text, name)
	n, err := strconv.ParseUint(digits, 10, 32)
	return uint32(n), ok && err == nil && n >= 1 && n <= uint64(most)
}

func (h passwordHash) String() string {
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, h.memory, h.passes, h.lanes,
		phcText.EncodeToString(h.salt), phcText.EncodeToString(h.tag))
}

// today tells whether a hash was made as they are made now. Another is made anew when its password is shown.
func (h passwordHash) today() bool {
	return h.memory == hashMemory && h.passes == hashPasses && h.lanes == hashLanes &&
		len(h.salt) == saltSize && len(h.tag) == tagSize
}

func (h passwordHash) of(clean string) []byte {
	return argon2.IDKey([]byte(clean), h.salt, h.passes, h.memory, h.lanes, uint32(len(h.tag)))
}

func todaysHash() passwordHash {
	return passwordHash{hashMemory, hashPasses, hashLanes, randomBytes(saltSize), make([]byte, tagSize)}
}

// cleanPassword gives a password as it is hashed. Refusal: ErrPassword.
func cleanPassword(text string) (string, error) {
	if len(text) > 16*MaxPassword || !utf8.ValidString(text) {
		return "", ErrPassword
	}
	text = norm.NFC.String(text)
	if n := utf8.RuneCountInString(text); n < MinPassword || n > MaxPassword {
		return "", ErrPassword
	}
	return text, nil
}

// hashing waits until a hash may run; done ends it. Whoever holds writing must not call it: one hash takes as long as many
// transactions.
func (d *Door) hashing(ctx context.Context) (done func(), err error) {
	select {
	case d.hashes <- struct{}{}:
		return func() { <-d.hashes }, nil
	case <-ctx.Done():
		return nil, context.Cause(ctx)
	}
}

// hashPassword gives the PHC string of a new password. The caller must not hold writing. Refusal: ErrPassword.
func (d *Door) hashPassword(ctx context.Context, text string) (phc string, err error) {
	clean, err := cleanPassword(text)
	if err != nil {
		return "", err
	}
	done, err := d.hashing(ctx)
	if err != nil {
		return "", fmt.Errorf("auth: waiting to hash a password: %w", err)
	}
	defer done()
	h := todaysHash()
	h.tag = h.of(clean)
	return h.String(), nil
}

// matches compares a password with a stored one. With none stored, and for a text that can be no password, it does the
// same work and says no. old tells that the stored hash should be made anew. The caller must not hold writing.
func (d *Door) matches(ctx context.Context, phc, text string) (right, old bool, err error) {
	stored, possible := todaysHash(), phc != ""
	if possible {
		if stored, err = parsePHC(phc); err != nil {
			return false, false, err
		}
	}
	clean, err := cleanPassword(text)
	if err != nil {
		clean, possible = "", false
	}
	done, err := d.hashing(ctx)
	if err != nil {
		return false, false, err
	}
	defer done()
	same := subtle.ConstantTimeCompare(stored.of(clean), stored.tag) == 1
	return same && possible, !stored.today(), nil
}

// cleanAccountName gives an account's name as it is kept. Refusal: ErrAccountName.
func cleanAccountName(name string) (string, error) {
	name, ok := cleanText(name)
	if !ok || name == "" {
		return "", ErrAccountName
	}
	return name, nil
}

// foldName gives what two names have in common that differ by letters' case, blanks or Unicode form.
func foldName(name string) string {
	name = strings.Join(strings.Fields(norm.NFC.String(name)), " ")
	return norm.NFC.String(cases.Fold().String(name))
}

// named finds an account by its folded name.
func (d *Door) named(folded string) (Account, bool) {
	d.mu.RLock()
	defer d.mu.RUnlock()
	for _, a := range d.accounts {
		if foldName(a.Name) == folded {
			return a, true
		}
	}
	return Account{}, false
}

// makeAccount writes a new account with a clean name; phc may be empty. The caller holds writing, and enters the account
// in the table once the transaction stands. Refusal: ErrNameTaken.
func (d *Door) makeAccount(tx store.BookWriter, name string, role Role, phc string) (Account, error) {
	if _, taken := d.named(foldName(name)); taken {
		return Account{}, ErrNameTaken
	}
	a := Account{ID: AccountID(randomHex()), Name: name, Role: role, Created: d.now(), password: phc}
	return a, put(tx, accountKey(a.ID), recordOfAccount(a))
}
