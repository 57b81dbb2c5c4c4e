package line

import (
	"strings"
	"unicode/utf8"

	"fairmeasure/journal/unit"
)

// A strength may stand anywhere in the name: "gin, 40 %", "rum 57% vol", "100 proof rye", "gin 47.5 ABV". It is
// US proof unless the United Kingdom is named. A percentage in brackets is a note and never comes here.

type mark int

const (
	noMark   mark = iota
	percent       // a bare %
	abv           // % vol, abv
	other         // % fat, °Brix: not alcohol
	proof         // proof, US
	ukProof       // proof, named as British
	degProof      // "70° proof", which either may mean
	degree        // a bare °
)

// US proof is twice the strength in % vol (27 CFR: 50 % vol at 60 °F is 100 proof). British proof by Sikes' hydrometer:
// 0.57145 % vol for each degree at 20 °C, the trade's rule of 4/7. Both in testdata/reference/units.csv.
func usProofStrength(millionths Qty) unit.Strength {
	return unit.Strength(mulDiv(int64(millionths), 1, 20_000))
}
func ukProofStrength(millionths Qty) unit.Strength {
	return unit.Strength(mulDiv(int64(millionths), 57_145, 1_000_000_000))
}
func percentStrength(millionths Qty) unit.Strength {
	return unit.Strength(mulDiv(int64(millionths), 1, 10_000))
}

// cutStrength takes a typed strength out of a name. A percentage that is no strength comes back as a note.
func cutStrength(name string) (rest string, s unit.Maybe[unit.Strength], note string, err error) {
	rest = name
	for from := 0; ; {
		start, q, m, end := nextMark(rest, from)
		if m == noMark {
			break
		}
		text := strings.TrimSpace(rest[start:end])
		if m == other || m == percent && (q == 100*One || sober(without(rest, start, end))) { // "100 % agave"
			if note != "" {
				note += "; "
			}
			note += text
			rest, from = without(rest, start, end), 0
			continue
		}
		if strings.HasSuffix(rest[:start], "-") || strings.HasSuffix(rest[:start], "–") || s.Known {
			return "", s, "", refuse("strength", "expected one strength, got “%s”", clip(name))
		}
		v, err := strengthOf(q, m, text)
		if err != nil {
			return "", s, "", err
		}
		s = unit.Known(v)
		rest, from = without(rest, start, end), 0
	}
	if !s.Known {
		if err := bareNumber(rest); err != nil {
			return "", s, "", err
		}
	}
	return rest, s, note, nil
}

func strengthOf(q Qty, m mark, text string) (unit.Strength, error) {
	n := decimal(int64(q), 6)
	switch m {
	case degProof:
		return 0, refuse("proof_or_percent", "expected to know whose proof “%s” is: write “%s proof” for US proof (%s %% vol) or “%s uk proof” (%s %% vol)",
			clip(text), n, shown(usProofStrength(q)), n, shown(ukProofStrength(q)))
	case degree:
		return 0, ask(q)
	case percent, abv:
		if q > 100*One && q <= 200*One {
			return 0, ask(q)
		}
		if q > 200*One {
			return 0, refuse("strength", "expected a strength of at most 100 %% vol, got %s", clip(text))
		}
		return percentStrength(q), nil
	}
	v := usProofStrength(q)
	if m == ukProof {
		v = ukProofStrength(q)
	}
	if v > 10000 {
		return 0, refuse("strength", "expected a proof of at most 100 %% vol, got %s", clip(text))
	}
	return v, nil
}

// ask is the question put to a number that may be a proof or a percentage, with the readings left.
func ask(q Qty) error {
	n := decimal(int64(q), 6)
	us, uk := shown(usProofStrength(q)), shown(ukProofStrength(q))
	switch {
	case q <= 100*One:
		return refuse("proof_or_percent", "expected to know what %s means: write “%s %%” for %s %% vol or “%s proof” for %s %% vol", n, n, shown(percentStrength(q)), n, us)
	case ukProofStrength(q) > 10000:
		return refuse("proof_or_percent", "%s is more than 100, so it cannot be %% vol: write “%s proof” if it is US proof (%s %% vol)", n, n, us)
	}
	return refuse("proof_or_percent", "%s is more than 100, so it cannot be %% vol: write “%s proof” if it is US proof (%s %% vol) or “%s uk proof” if it is British (%s %% vol)",
		n, n, us, n, uk)
}

func shown(s unit.Strength) string { return decimal(int64(s), 2) }

// bareNumber asks about a number that may be meant as a strength: any up to 200 behind the last comma, and one of 20 to
// 200 at the end of the name, unless "no." or the like makes it part of a name.
func bareNumber(name string) error {
	name = strings.TrimRight(name, " .")
	i := strings.LastIndexAny(name, " ")
	if i < 0 {
		return nil
	}
	n, ok, err := cutNumber(name[i+1:])
	if err != nil || !ok || n.rest != "" || n.q > 200*One {
		return nil
	}
	before := strings.TrimRight(name[:i], " ")
	if strings.HasSuffix(before, ",") {
		return ask(n.q)
	}
	switch head(before) {
	case "no", "nr", "number", "batch", "lot", "cask", "n":
		return nil
	}
	if n.q < 20*One || strings.HasSuffix(before, "#") {
		return nil
	}
	return ask(n.q)
}

// nextMark finds the first number with a mark of strength behind it.
func nextMark(s string, from int) (start int, q Qty, m mark, end int) {
	for i := from; i < len(s); {
		d := digits(s[i:])
		if d == 0 {
			i++
			continue
		}
		start, i = i, i+d
		if prev, _ := utf8.DecodeLastRuneInString(s[:start]); start > 0 && (letter(prev) || strings.ContainsRune(".,/⁄:'’", prev) && digits(lastByte(s[:start-utf8.RuneLen(prev)])) > 0) {
			continue
		}
		if len(s) > i+1 && (s[i] == '.' || s[i] == ',') && digits(s[i+1:]) > 0 {
			i += 1 + digits(s[i+1:])
		}
		m, rest := cutMark(s[i:])
		if m == noMark {
			continue
		}
		n, ok, err := cutNumber(s[start:i])
		if err != nil || !ok || n.rest != "" {
			continue
		}
		return start, n.q, m, len(s) - len(rest)
	}
	return 0, 0, noMark, 0
}

func lastByte(s string) string {
	if s == "" {
		return ""
	}
	return s[len(s)-1:]
}

// cutMark reads what makes the number before it a strength.
func cutMark(s string) (mark, string) {
	t := strings.TrimLeft(s, " ")
	if after, ok := strings.CutPrefix(t, "%"); ok {
		return cutPercentMark(after)
	}
	for _, deg := range []string{"°", "º"} {
		if after, ok := strings.CutPrefix(t, deg); ok {
			return cutDegreeMark(after, s)
		}
	}
	t = strings.TrimPrefix(t, "-")
	w, rest := word(t)
	switch w {
	case "proof":
		if end, ok := cutWord(rest, "uk"); ok {
			return ukProof, end
		}
		return proof, rest
	case "us", "american":
		if end, ok := cutWord(rest, "proof"); ok {
			return proof, end
		}
	case "uk", "british", "imperial", "sikes":
		if end, ok := cutWord(rest, "proof"); ok {
			return ukProof, end
		}
	case "abv", "alc":
		return abv, rest
	case "vol":
		rest = strings.TrimPrefix(strings.TrimLeft(rest, " ."), "-")
		return abv, strings.TrimPrefix(rest, "%")
	}
	return noMark, s
}

// cutPercentMark reads what stands after a % sign: "vol", "by volume", "v/v", or what else it is a share of.
func cutPercentMark(after string) (mark, string) {
	m := percent
	for {
		w, rest := word(strings.TrimLeft(after, " ./"))
		end, ok := rest, true
		switch w {
		case "fat", "fett", "sugar", "zucker", "salt", "salz", "acid", "saeure", "brix", "cocoa", "kakao", "agave", "fruit", "frucht":
			if m == percent {
				return other, rest
			}
			ok = false
		case "w", "m":
			if end, ok = cutByMass(rest); ok && m == percent {
				return other, end
			}
			ok = false
		case "v":
			if ok = len(rest) > 1 && strings.EqualFold(rest[:2], "/v"); ok {
				end = rest[2:]
			}
		case "vol", "abv", "alc", "alk", "alcohol", "alkohol", "volume":
		case "by":
			if end, ok = cutWord(rest, "vol"); !ok {
				end, ok = cutWord(rest, "volume")
			}
		default:
			ok = false
		}
		if !ok {
			return m, after
		}
		m, after = abv, end
	}
}

// cutByMass reads the rest of "% w/v" and the like.
func cutByMass(rest string) (string, bool) {
	before, end, ok := strings.Cut(rest, "/")
	if !ok || before != "" {
		return rest, false
	}
	w, end := word(end)
	return end, w == "v" || w == "w" || w == "m"
}

// cutDegreeMark reads what stands after a degree sign; s begins before it.
func cutDegreeMark(after, s string) (mark, string) {
	w, rest := word(strings.TrimLeft(after, " "))
	switch w {
	case "proof":
		return degProof, rest
	case "uk", "british", "imperial":
		if end, ok := cutWord(rest, "proof"); ok {
			return ukProof, end
		}
	case "us", "american":
		if end, ok := cutWord(rest, "proof"); ok {
			return proof, end
		}
	case "brix", "bx":
		return other, rest
	case "c", "f":
		return noMark, s
	}
	return degree, after
}

// without takes s[start:end] out of a name, with the words that only introduced it.
func without(s string, start, end int) string {
	left := strings.TrimRight(s[:start], " ")
	for {
		i := strings.LastIndexAny(left, " ,")
		w := strings.TrimRight(fold(left[i+1:]), ".:")
		if !oneOf("at|mit|with|abv|alc|alk|vol|@", w) {
			break
		}
		left = strings.TrimRight(left[:i+1], " ")
	}
	right := strings.TrimLeft(s[end:], " ")
	comma := strings.HasSuffix(left, ",") || strings.HasPrefix(right, ",")
	left = strings.TrimRight(left, " ,;:-–—@")
	right = strings.TrimLeft(right, " ,;:-–—.")
	switch {
	case left == "":
		return right
	case right == "":
		return left
	case comma:
		return left + ", " + right
	}
	return left + " " + right
}
