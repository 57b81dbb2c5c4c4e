package testdata

import (
	"encoding/csv"
	"strings"
	"testing"
	"unicode"
)

// NeverSaid gives the words in a text that stand for what is never said: an amount still allowed, the blood, fitness to
// drive, runs of days, praise. They are of both languages, whatever language the text is in.
func NeverSaid(t testing.TB, text string) (found []string) {
	t.Helper()
	said := " " + strings.Join(strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) }), " ") + " "
	for _, row := range Rows(t, "cases/never_said.csv") {
		if strings.Contains(said, " "+row["words"]+" ") {
			found = append(found, row["words"])
		}
	}
	return found
}

// Rows reads a table by its head line: one map a row, keyed by column. A table without rows fails the test.
func Rows(t testing.TB, path string) []map[string]string {
	t.Helper()
	f, err := Files.Open(path)
	if err != nil {
		t.Fatalf("opening a table: %v", err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatalf("reading %s: %v", path, err)
	}
	if len(lines) < 2 {
		t.Fatalf("%s has no rows", path)
	}
	out := make([]map[string]string, len(lines)-1)
	for i, line := range lines[1:] {
		out[i] = make(map[string]string, len(line))
		for c, head := range lines[0] {
			out[i][head] = line[c]
		}
	}
	return out
}

// Row finds the first row whose column has a value; none fails the test.
func Row(t testing.TB, path, column, value string) map[string]string {
	t.Helper()
	for _, row := range Rows(t, path) {
		if row[column] == value {
			return row
		}
	}
	t.Fatalf("%s has no row with %s %q", path, column, value)
	return nil
}
