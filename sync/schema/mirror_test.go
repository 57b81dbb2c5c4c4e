package schema

import (
	"maps"
	"os"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/testdata"
)

// TestMirror holds the JSON of answers, questions and intents against the types the screens are built with: the same
// keys, none more and none less.
func TestMirror(t *testing.T) {
	raw, err := os.ReadFile("../../pwa/src/shared/core.ts")
	require.NoError(t, err)
	source := regexp.MustCompile(`(?s)/\*.*?\*/|//[^\n]*`).ReplaceAllString(string(raw), "")
	questions := strings.Index(source, "export type Question")
	intents := strings.Index(source, "export type Intent")
	afterQuestions := strings.Index(source, "export interface Answers")
	done := strings.Index(source, "export interface Done")
	state := strings.Index(source, "export interface SyncState")
	require.True(t, 0 < questions && questions < afterQuestions && afterQuestions < intents && intents < done && done < state)

	keys := func(ts string) map[string]bool {
		ts = regexp.MustCompile(`Record<[^,>]*,`).ReplaceAllString(ts, "Record<")
		found := map[string]bool{}
		for _, m := range regexp.MustCompile(`\b([a-z][a-z0-9_A-Z]*)\??:`).FindAllStringSubmatch(ts, -1) {
			found[m[1]] = true
		}
		return found
	}
	tags := func(of ...any) map[string]bool {
		found := map[string]bool{}
		var walk func(reflect.Type)
		walk = func(r reflect.Type) {
			switch r.Kind() {
			case reflect.Pointer, reflect.Slice, reflect.Map:
				if r.PkgPath() == "" {
					walk(r.Elem())
				}
			case reflect.Struct:
				for f := range r.Fields() {
					if f.Anonymous {
						walk(f.Type)
					} else if tag, _, _ := strings.Cut(f.Tag.Get("json"), ","); tag != "" {
						found[tag] = true
						walk(f.Type)
					}
				}
			}
		}
		for _, o := range of {
			walk(reflect.TypeOf(o))
		}
		return found
	}
	sorted := func(m map[string]bool) []string { return slices.Sorted(maps.Keys(m)) }

	answers := tags(tonightJSON{}, journalJSON{}, pourJSON{}, specsJSON{}, specJSON{}, draftJSON{}, sheetJSON{}, weekJSON{}, bottlesJSON{}, sideJSON{}, clashesJSON{}, keeperJSON{}, weeksJSON{}, guessesJSON{}, tableJSON{}, adjustJSON{}, labelJSON{}, cutJSON{}, calibrationJSON{}, waysJSON{}, touchesJSON{}, differenceJSON{}, batchJSON{}, syrupJSON{}, infusionJSON{}, makingsJSON{}, comparisonsJSON{}, comparisonJSON{}, planJSON{}, flightJSON{}, trialJSON{})
	inTS := keys(source[:questions])
	inTS["clashes"] = true // of the answer to "clash", written in the table of answers
	require.Equal(t, sorted(inTS), sorted(answers))
	require.Greater(t, len(answers), 100)
	require.Equal(t, sorted(keys(source[questions:afterQuestions])), sorted(tags(question{})))
	require.Equal(t, sorted(keys(source[intents:done])), sorted(tags(intent{})))
	require.Equal(t, sorted(keys(source[done:state])), sorted(tags(Done{})))

	for _, a := range asked {
		require.Contains(t, source[questions:], "q: '"+a.word+"'")
	}
	for _, a := range acts {
		require.Contains(t, source[intents:], "do: '"+a.word+"'")
	}
	require.Equal(t, len(asked), strings.Count(source[questions:afterQuestions], "q: '"))
	require.Equal(t, len(acts), strings.Count(source[intents:], "do: '"))
	var named []string
	for _, e := range rules {
		if e.kind == "set" {
			named = append(named, e.field)
		}
	}
	require.ElementsMatch(t, named, sorted(tags(settingsJSON{})))
}

// TestTerms holds the built-in flavour terms against the list they are taken from.
func TestTerms(t *testing.T) {
	raw, err := testdata.Files.ReadFile("reference/flavour_terms.csv")
	require.NoError(t, err)
	known := map[string]bool{}
	for _, line := range strings.Split(string(raw), "\n")[1:] {
		if fields := strings.SplitN(line, ",", 3); len(fields) == 3 {
			known[fields[1]] = true
		}
	}
	for _, term := range terms {
		require.True(t, known[term], term)
		field, ok := tagField(term)
		require.True(t, ok, term)
		back, ok := termOf(field)
		require.True(t, ok)
		require.Equal(t, term, back)
	}
}
