package schema

import (
	"hash/fnv"

	"fairmeasure/sync/replica"
)

const (
	crockford = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
	timeChars = 10 // 48 bits of milliseconds, behind two zero bits
	idChars   = 26
)

// derived gives the id of a thing that an intent makes besides the one it names: the time of the intent's own id and 80
// bits that depend on that id and the label alone. So an intent that is repeated makes the same things, on any device.
func derived(id replica.ID, label string) replica.ID {
	h := fnv.New128a()
	h.Write([]byte(id))
	h.Write([]byte{0})
	h.Write([]byte(label))
	h.Write(make([]byte, 16)) // lets the last characters of the label reach every bit
	var sum [16]byte
	h.Sum(sum[:0])
	out := []byte(id[:timeChars])
	for bit := 0; bit < 80; bit += 5 {
		at := bit / 8
		two := uint(sum[at])<<8 | uint(sum[at+1])
		out = append(out, crockford[two>>(11-uint(bit%8))&31])
	}
	return replica.ID(out)
}

// minted tells an id of 26 characters of Crockford base 32 whose first stands for at most three bits.
func minted(id replica.ID) bool {
	if len(id) != idChars || id[0] > '7' {
		return false
	}
	for i := 0; i < len(id); i++ {
		c := id[i]
		if !(c >= '0' && c <= '9' || c >= 'A' && c <= 'Z' && c != 'I' && c != 'L' && c != 'O' && c != 'U') {
			return false
		}
	}
	return true
}
