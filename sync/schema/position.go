package schema

import "strings"

// Positions are fractions between 0 and 1 written in base 62 without the leading point, so that there is always one more
// between any two and moving a line writes only its own. They compare as bytes; equal ones are told apart by id.

const base62 = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"

func digit62(s string, i int) int {
	if i >= len(s) {
		return 0
	}
	return max(0, strings.IndexByte(base62, s[i]))
}

// between gives a position after a and before b; an empty a is the beginning, an empty b the end. Where b does not lie
// after a (two devices gave two lines the same position, or one that differs by zeros at its end alone) it is as if b were
// empty: the new position lies after both.
func between(a, b string) string {
	if strings.TrimRight(a, "0") >= strings.TrimRight(b, "0") {
		b = ""
	}
	var out []byte
	for i := 0; ; i++ {
		low, high := digit62(a, i), len(base62)
		if b != "" {
			high = digit62(b, i)
		}
		if high-low > 1 {
			return string(append(out, base62[(low+high)/2]))
		}
		out = append(out, base62[low])
		if high > low {
			b = "" // from here on any digit stays below b
		}
	}
}

// spread gives n positions in order with room between them.
func spread(n int) []string {
	all := make([]string, n)
	for i := range all {
		at := (i + 1) * len(base62) * len(base62) / (n + 1)
		all[i] = strings.TrimRight(string([]byte{base62[at/len(base62)], base62[at%len(base62)]}), "0")
	}
	return all
}
