package schema

import (
	"bytes"
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
)

// sample is every kind of thing the shapes of this package hold.
type sample struct {
	Text   string             `json:"text"`
	N      int64              `json:"n"`
	F      float64            `json:"f"`
	Yes    bool               `json:"yes"`
	P      *float64           `json:"p"`
	List   []string           `json:"list"`
	Map    map[string]float64 `json:"map"`
	In     *sample            `json:"in,omitempty"`
	Hidden int
}

func TestJSONAsTheLibraryReadsIt(t *testing.T) {
	f := 0.1
	for _, s := range []sample{
		{}, {Text: "a\"b\\c\n\t\x01\u2028<é🍋\x7f", N: -5, F: 1e-7, Yes: true, P: &f, List: []string{"", "x"}, Map: map[string]float64{"b": 2, "a": 1e20}},
		{In: &sample{List: []string{}, Map: map[string]float64{}}}, {F: -0.5, N: math.MaxInt64},
	} {
		s.List, s.Map = list(s.List), orEmpty(s.Map)
		if s.In != nil {
			s.In.List, s.In.Map = list(s.In.List), orEmpty(s.In.Map)
		}
		var back sample
		require.NoError(t, json.Unmarshal(shapes{}.append(nil, reflect.ValueOf(s)), &back))
		require.Equal(t, s, back)
	}
	require.Equal(t, `[null,null]`, string(shapes{}.append(nil, reflect.ValueOf([]float64{math.NaN(), math.Inf(1)}))))
}

func orEmpty(m map[string]float64) map[string]float64 {
	if m == nil {
		return map[string]float64{}
	}
	return m
}

// An id alone stands for a line or a swap; the library is told so here.
func (l *lineIntent) UnmarshalJSON(raw []byte) error { return idAlone(raw, (*plainLine)(l), &l.Keep) }
func (s *swapping) UnmarshalJSON(raw []byte) error   { return idAlone(raw, (*plainSwap)(s), &s.Line) }

type (
	plainLine lineIntent
	plainSwap swapping
)

func idAlone(raw []byte, whole any, id *replica.ID) error {
	if bytes.HasPrefix(raw, []byte(`"`)) {
		return json.Unmarshal(raw, id)
	}
	d := json.NewDecoder(bytes.NewReader(raw))
	d.DisallowUnknownFields()
	return d.Decode(whole)
}

// FuzzUnmarshal: what is read here the library reads too, and as the same.
func FuzzUnmarshal(f *testing.F) {
	for _, s := range []string{
		`{}`, `{"do":"pour","id":"x","swap":{"line":"a","ingredient":"b"},"tags":["a","b"],"score_x10":null,"at_ms":5}`, ` { "slip" : true , "lines" : [ { "typed" : "\u00bd \ud83c\udf4b \ud83c" } ] } `,
		`{"typed":"\/\b\f\n\r\t\"\\"}`, `{"at_ms":01}`, `{"at_ms":-0}`, `{"at_ms":1e3}`, `{"at_ms":9007199254740992}`, `{"do":"a"}x`, `[[[[[[[[[[1]]]]]]]]]]`, `{"do":"\ud83c\u0041"}`, "{\"do\":\"\xff\"}", `{"swap":null}`, `{"swap":"a"}`, `{"lines":["a",{"keep":"b"}]}`, `{"lines":[]}`,
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		var ours, theirs struct {
			Do    string             `json:"do"`
			ID    replica.ID         `json:"id"`
			Swap  *swapping          `json:"swap"`
			Lines []lineIntent       `json:"lines"`
			Typed string             `json:"typed"`
			Slip  bool               `json:"slip"`
			AtMS  *int64             `json:"at_ms"`
			Tags  []string           `json:"tags"`
			Map   map[string]int64   `json:"map"`
			Name  *string            `json:"name"`
			Score *int64             `json:"score_x10"`
			Deep  map[string][]int64 `json:"deep"`
		}
		if unmarshal(string(raw), &ours) != nil {
			return
		}
		d := json.NewDecoder(bytes.NewReader(raw))
		d.DisallowUnknownFields()
		require.NoError(t, d.Decode(&theirs), "%q", raw)
		again, err := json.Marshal(ours) // equal but for invalid UTF-8, which the library replaces
		require.NoError(t, err)
		same, err := json.Marshal(theirs)
		require.NoError(t, err)
		none := func(raw []byte) string { return strings.ReplaceAll(string(raw), "[]", "null") } // here an empty list is no list
		require.Equal(t, none(same), none(again))
	})
}

func TestScalars(t *testing.T) {
	var in struct {
		Set   map[string]replica.Value `json:"set"`
		Value *replica.Value           `json:"value"`
	}
	require.NoError(t, unmarshal(`{"set":{"a":"x","b":-7,"c":true,"d":null},"value":null}`, &in))
	require.Equal(t, map[string]replica.Value{"a": replica.Text("x"), "b": replica.Int(-7), "c": replica.Bool(true), "d": replica.Null}, in.Set)
	require.NotNil(t, in.Value)
	for _, bad := range []string{`{"value":[]}`, `{"value":{}}`, `{"value":1.5}`, `{"value":9007199254740992}`, `{"value":tru}`, `{"value":}`, `{"value":"`} {
		require.Error(t, unmarshal(bad, &in), bad)
	}
}
