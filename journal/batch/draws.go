package batch

import (
	"strconv"
	"strings"

	"fairmeasure/journal"
	"fairmeasure/journal/unit"
)

// The canonical text of Draws, version 1: "draws 1", then a row "bottle <TAB> microlitres" for each, by the bottles' ids,
// each once, rows separated by a line feed. There is one text for each Draws.
const drawsMark = "draws 1"

// MostDraws is the most bottles one making may draw from (chosen: twice the lines of a spec).
const MostDraws = 80

// Text is the canonical text. Codes of refusals: bad_draws.
func (d Draws) Text() (string, error) {
	var b strings.Builder
	b.WriteString(drawsMark)
	for _, one := range d {
		b.WriteByte('\n')
		b.WriteString(string(one.Bottle))
		b.WriteByte('\t')
		b.WriteString(strconv.FormatInt(int64(one.Volume), 10))
	}
	text := b.String()
	_, err := ParseDraws(text)
	return text, err
}

// ParseDraws reads what Text wrote and nothing else.
func ParseDraws(text string) (Draws, error) {
	refused := journal.Refuse("bad_draws", "draws", "expected bottles in order, each once, with some volume of at most 100 litres")
	rest, ok := strings.CutPrefix(text, drawsMark)
	if !ok {
		return nil, refused
	}
	var out Draws
	for rest != "" {
		if rest[0] != '\n' || len(out) == MostDraws {
			return nil, refused
		}
		var line string
		line, rest, ok = strings.Cut(rest[1:], "\n")
		if ok {
			rest = "\n" + rest
		}
		id, digits, _ := strings.Cut(line, "\t")
		n, err := strconv.ParseInt(digits, 10, 64)
		if err != nil || strconv.FormatInt(n, 10) != digits || n < 1 || n > int64(Most) || !isID(id) {
			return nil, refused
		}
		if len(out) > 0 && out[len(out)-1].Bottle >= journal.ID(id) {
			return nil, refused
		}
		out = append(out, Draw{journal.ID(id), unit.Volume(n)})
	}
	return out, nil
}

// isID tells what may be an id: letters, digits, points and underscores.
func isID(s string) bool {
	for i := 0; i < len(s); i++ {
		if c := s[i]; !(c >= '0' && c <= '9' || c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' || c == '.' || c == '_' || c == '-') {
			return false
		}
	}
	return s != "" && len(s) <= 64
}
