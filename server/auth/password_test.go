package auth_test

import (
	"context"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/server/auth"
	"fairmeasure/sync/store"
)

// Made by the reference implementation of argon2, as Debian 12 packages it (libargon2-1 0~20171227-0.3+deb12u1), with its
// function argon2id_hash_encoded, for these passwords, salts and parameters.
var foreignHashes = []struct{ id, password, phc string }{
	{"Today", "orchard sour at dusk",
		"$argon2id$v=19$m=19456,t=2,p=1$MDEyMzQ1Njc4OWFiY2RlZg$rDxaSifkWBq4nxq+0Aq8DAx4XcbbbCweXzLpzZQYN6M"},
	{"LessMemory", "orchard sour at dusk",
		"$argon2id$v=19$m=8192,t=2,p=1$ZmVkY2JhOTg3NjU0MzIxMA$ROcsDMPsxPwhXlkdTRMsHmyi3+oNENBUGoYTIF+kEOk"},
	{"MoreLanesShorterTag", "Äpfel und Birnen im Glas",
		"$argon2id$v=19$m=4096,t=3,p=4$c2FsdHNhbHQ$vWO2/Vo8LGGgqmAZbsBRZCIqfAfQ1rT+"},
}

type storedAccount struct {
	Name     string `json:"name"`
	Role     string `json:"role"`
	Created  int64  `json:"created"`
	Password string `json:"password,omitempty"`
}

func accountKey(id auth.AccountID) []byte { return []byte("u" + string(id)) }

func (h *house) stored(id auth.AccountID) (rec storedAccount) {
	h.t.Helper()
	require.NoError(h.t, h.book.Read(context.Background(), func(r store.BookReader) error {
		v, ok, err := r.Get(accountKey(id))
		require.True(h.t, ok)
		require.NoError(h.t, json.Unmarshal(v, &rec))
		return err
	}))
	return rec
}

// storePHC puts a hash into an account's record, and opens the door anew.
func (h *house) storePHC(id auth.AccountID, phc string) {
	h.t.Helper()
	rec := h.stored(id)
	rec.Password = phc
	v, err := json.Marshal(rec)
	require.NoError(h.t, err)
	require.NoError(h.t, h.book.Write(context.Background(), func(tx store.BookWriter) error { return tx.Set(accountKey(id), v) }))
	h.restart()
}

func TestHashesOfAnotherProgram(t *testing.T) {
	today := `^\$argon2id\$v=19\$m=19456,t=2,p=1\$[A-Za-z0-9+/]{22}\$[A-Za-z0-9+/]{43}$`
	for _, row := range foreignHashes {
		t.Run(row.id, func(t *testing.T) {
			s := newSetUp(t)
			s.storePHC(s.first.Account.ID, row.phc)
			_, err := s.signIn("Robin", row.password+"!")
			require.ErrorIs(t, err, auth.ErrWrong)
			require.Equal(t, row.phc, s.stored(s.first.Account.ID).Password, "a wrong password changes nothing")

			p, err := s.signIn("Robin", row.password)
			require.NoError(t, err)
			after := s.stored(p.Account.ID).Password
			require.Regexp(t, today, after)
			if row.id == "Today" {
				require.Equal(t, row.phc, after, "made as today: kept")
				return
			}
			require.NotEqual(t, row.phc, after, "made anew")
			s.clock.move(time.Second)
			_, err = s.signIn("Robin", row.password)
			require.NoError(t, err, "from the table")
			s.restart()
			s.clock.move(time.Second)
			_, err = s.signIn("Robin", row.password)
			require.NoError(t, err, "from the book")
			require.Equal(t, after, s.stored(p.Account.ID).Password, "once is enough")
		})
	}
}

func TestADamagedHashIsAFault(t *testing.T) {
	s := newSetUp(t)
	s.storePHC(s.first.Account.ID, "$argon2id$v=19$m=4294967295,t=2,p=1$MDEyMzQ1Njc4OWFiY2RlZg$rDxaSifkWBq4nxq+0Aq8DAx4XcbbbCweXzLpzZQYN6M")
	_, err := s.signIn("Robin", secret)
	require.Error(t, err)
	require.NotErrorIs(t, err, auth.ErrWrong)
	require.Empty(t, s.counted(), "what was not compared is not counted")
}

func TestPasswordLimits(t *testing.T) {
	ctx := context.Background()
	for _, row := range []struct {
		id, password string
		ok           bool
	}{
		{"Nine", strings.Repeat("x", 9), false},
		{"Ten", strings.Repeat("x", 10), true},
		{"TenOfManyBytes", strings.Repeat("🍐", 10), true},
		{"NineOfManyBytes", strings.Repeat("🍐", 9), false},
		{"NineWrittenAsEighteen", strings.Repeat("e\u0301", 9), false},
		{"256", strings.Repeat("x", 256), true},
		{"257", strings.Repeat("x", 257), false},
		{"256WrittenAs512", strings.Repeat("e\u0301", 256), true},
		{"257WrittenAs514", strings.Repeat("e\u0301", 257), false},
		{"NoUTF8", "ten and more \xff", false},
		{"Blanks", "          ", true},
		{"VeryLong", strings.Repeat("x", 1<<20), false},
	} {
		t.Run(row.id, func(t *testing.T) {
			h := newHouse(t)
			key, ok := h.door.OpenSetup(time.Hour)
			require.True(t, ok)
			_, err := h.door.Setup(ctx, key, auth.Arrival{Name: "Robin", Password: row.password, Addr: here})
			if !row.ok {
				require.ErrorIs(t, err, auth.ErrPassword)
				require.False(t, h.door.HasOwner())
				return
			}
			require.NoError(t, err)
			_, err = h.signIn("Robin", row.password)
			require.NoError(t, err)
		})
	}
	t.Run("ComposedOrNot", func(t *testing.T) {
		s := newSetUp(t)
		who := s.caller(s.first)
		require.NoError(t, s.door.ChangePassword(ctx, who, secret, "cr\u00e8me de p\u00eache"))
		_, err := s.signIn("Robin", "cre\u0300me de pe\u0302che")
		require.NoError(t, err)
		s.clock.move(time.Second)
		_, err = s.signIn("Robin", "creme de peche")
		require.ErrorIs(t, err, auth.ErrWrong)
	})
	t.Run("BlanksAndCaseCount", func(t *testing.T) {
		s := newSetUp(t)
		for _, typed := range []string{secret + " ", " " + secret, strings.ToUpper(secret)} {
			_, err := s.signIn("Robin", typed)
			require.ErrorIs(t, err, auth.ErrWrong, "%q", typed)
		}
	})
}

func FuzzPHC(f *testing.F) {
	for _, row := range foreignHashes {
		f.Add(row.phc)
	}
	f.Add("$argon2id$v=19$m=19456,t=2,p=1$$")
	f.Add("$argon2i$v=19$m=19456,t=2,p=1$MDEyMzQ1Njc4OWFiY2RlZg$rDxaSifkWBq4nxq+0Aq8DAx4XcbbbCweXzLpzZQYN6M")
	f.Fuzz(func(t *testing.T, text string) {
		again, err := auth.ReprintPHC(text)
		if err == nil {
			require.Equal(t, text, again, "one way to write it")
		}
	})
}

func TestPHCIsReadStrictly(t *testing.T) {
	const salt, tag = "MDEyMzQ1Njc4OWFiY2RlZg", "rDxaSifkWBq4nxq+0Aq8DAx4XcbbbCweXzLpzZQYN6M"
	for _, row := range foreignHashes {
		_, err := auth.ReprintPHC(row.phc)
		require.NoError(t, err, row.id)
	}
	for id, text := range map[string]string{
		"Empty":         "",
		"OtherVariant":  "$argon2i$v=19$m=19456,t=2,p=1$" + salt + "$" + tag,
		"OldVersion":    "$argon2id$v=16$m=19456,t=2,p=1$" + salt + "$" + tag,
		"NoVersion":     "$argon2id$m=19456,t=2,p=1$" + salt + "$" + tag,
		"LeadingZero":   "$argon2id$v=19$m=019456,t=2,p=1$" + salt + "$" + tag,
		"OtherOrder":    "$argon2id$v=19$t=2,m=19456,p=1$" + salt + "$" + tag,
		"NoPasses":      "$argon2id$v=19$m=19456,t=0,p=1$" + salt + "$" + tag,
		"NoLanes":       "$argon2id$v=19$m=19456,t=2,p=0$" + salt + "$" + tag,
		"TooManyLanes":  "$argon2id$v=19$m=19456,t=2,p=257$" + salt + "$" + tag,
		"TooManyPasses": "$argon2id$v=19$m=19456,t=17,p=1$" + salt + "$" + tag,
		"TooMuchMemory": "$argon2id$v=19$m=262145,t=2,p=1$" + salt + "$" + tag,
		"TooLittle":     "$argon2id$v=19$m=7,t=2,p=1$" + salt + "$" + tag,
		"NoSalt":        "$argon2id$v=19$m=19456,t=2,p=1$$" + tag,
		"NoTag":         "$argon2id$v=19$m=19456,t=2,p=1$" + salt + "$",
		"PaddedSalt":    "$argon2id$v=19$m=19456,t=2,p=1$" + salt + "==$" + tag,
		"LineEnd":       "$argon2id$v=19$m=19456,t=2,p=1$" + salt + "$" + tag + "\n",
		"TailBits":      "$argon2id$v=19$m=19456,t=2,p=1$" + salt[:len(salt)-1] + "h$" + tag,
		"OnePartMore":   "$argon2id$v=19$m=19456,t=2,p=1$" + salt + "$" + tag + "$",
	} {
		t.Run(id, func(t *testing.T) {
			_, err := auth.ReprintPHC(text)
			require.Error(t, err)
		})
	}
}
