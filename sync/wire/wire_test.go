package wire_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/wire"
	"fairmeasure/testdata"
)

// vector reads a message of version 1. The final line break is not part of it.
func vector(t testing.TB, name string) string {
	t.Helper()
	raw, err := testdata.Files.ReadFile("wire/v1/" + name)
	require.NoError(t, err)
	return strings.TrimSuffix(string(raw), "\n")
}

func TestVectors(t *testing.T) {
	for _, name := range []string{"request-pour.json", "request-fix.json"} {
		t.Run(name, func(t *testing.T) {
			q, p := wire.DecodeRequest([]byte(vector(t, name)))
			require.Nil(t, p)
			require.Equal(t, vector(t, name), string(q.Append(nil)))
			for i := range q.Acts {
				require.Nil(t, replica.CheckAction(&q.Acts[i]))
			}
		})
	}
	t.Run("answer.json", func(t *testing.T) {
		a, err := wire.DecodeAnswer([]byte(vector(t, "answer.json")))
		require.NoError(t, err)
		require.Equal(t, vector(t, "answer.json"), string(a.Append(nil)))
		require.Equal(t, string(wire.AppendEntity(nil, a.Ents[0])), a.Raw[0])
		require.True(t, a.Ents[1].Empty())
		w, _ := a.Ents[0].Shown("note")
		require.Equal(t, replica.Text("sharp \"and\" thin\\\n\t\x01 ½ 柚子 🍋"), w.Value)
		require.Len(t, a.Ents[0].Fields["score_x10"], 2)
	})
	for _, name := range []string{"problem-refused.json", "problem-busy.json"} {
		t.Run(name, func(t *testing.T) {
			p, err := wire.DecodeProblem([]byte(vector(t, name)))
			require.NoError(t, err)
			require.Equal(t, vector(t, name), string(p.Append(nil)))
			require.Equal(t, wire.StatusOf(p.Code), p.Status)
		})
	}
}

// A newer server or app may say more. What is not known is passed over, and a row is kept as it came.
func TestUnknownKept(t *testing.T) {
	a, err := wire.DecodeAnswer([]byte(` {"later":{"x":[1.5e3,{"y":null}]},"journal":"j","now":1,"took":0,"ack":"1.t","cursor":"1.t","more":false,
		"ents":[ {"kind":"garnish_tray","id":"x1","colour":"green","w":[{"f":{"new_field":1},"at":5,"s":"Qm3kZ0aT1xV.1","why":[]}]} ],"seen":{"Qm3kZ0aT1xV":[1,"p3","more"]}}` + "\n"))
	require.NoError(t, err)
	require.Equal(t, "garnish_tray", a.Ents[0].Kind)
	w, ok := a.Ents[0].Shown("new_field")
	require.True(t, ok)
	require.Equal(t, replica.Int(1), w.Value)
	require.Contains(t, a.Raw[0], `"colour":"green"`)
	require.Contains(t, a.Raw[0], `"why":[]`)
	e, err := wire.DecodeEntity(a.Raw[0])
	require.NoError(t, err)
	require.True(t, e.Equal(a.Ents[0]))

	q, p := wire.DecodeRequest([]byte(`{"proto":1,"app":"9","journal":"j","now":1,"cursor":"0.","ack":"0.","mood":"calm","acts":[
		{"s":"Qm3kZ0aT1xV.1","at":1,"why":{},"edits":[{"id":"x1","kind":"garnish_tray","note":0.5,"set":{"new_field":1}}]}]}`))
	require.Nil(t, p)
	require.Equal(t, replica.Int(1), q.Acts[0].Edits[0].Set["new_field"])
}

func TestRequestRefusals(t *testing.T) {
	const head = `{"proto":1,"app":"a","journal":"j","now":1,"cursor":"0.","ack":"0."`
	act := func(s string) string {
		return head + `,"acts":[{"s":"Qm3kZ0aT1xV.1","at":1,"edits":[]},` + s + `]}`
	}
	set := func(v string) string {
		return act(`{"s":"Qm3kZ0aT1xV.2","at":1,"edits":[{"id":"x","kind":"pour","set":{"a":` + v + `}}]}`)
	}
	for _, c := range []struct{ name, body, code string }{
		{"empty", ``, wire.CodeMalformed},
		{"a list", `[]`, wire.CodeMalformed},
		{"cut off", head, wire.CodeMalformed},
		{"no cursor", `{"proto":1,"app":"a","journal":"j","now":1,"ack":"0."}`, wire.CodeMalformed},
		{"something follows", head + `} x`, wire.CodeMalformed},
		{"a second value", head + `}{}`, wire.CodeMalformed},
		{"not UTF-8", head + ",\"x\":\"\xff\"}", wire.CodeMalformed},
		{"a bare control character", head + ",\"x\":\"\x01\"}", wire.CodeMalformed},
		{"half a pair", head + `,"x":"\ud800"}`, wire.CodeMalformed},
		{"nested deeply", head + `,"x":` + strings.Repeat("[", 40) + strings.Repeat("]", 40) + `}`, wire.CodeMalformed},
		{"a key twice", head + `,"ack":"1."}`, wire.CodeMalformed},
		{"acts and fix", head + `,"acts":[{"s":"Qm3kZ0aT1xV.1","at":1,"edits":[]}],"fix":{}}`, wire.CodeMalformed},
		{"a comma too many", head + `,}`, wire.CodeMalformed},
		{"no comma", head + ` "x":1}`, wire.CodeMalformed},
		{"leading zero", head + `,"x":01}`, wire.CodeMalformed},
		{"NaN", head + `,"x":NaN}`, wire.CodeMalformed},
		{"too large", head + `,"x":"` + strings.Repeat("a", wire.MaxRequest) + `"}`, wire.CodeTooLarge},
		{"too many actions", head + `,"acts":[` + strings.Repeat(`{"s":"Qm3kZ0aT1xV.1","at":1,"edits":[]},`, 200) + `{"s":"Qm3kZ0aT1xV.1","at":1,"edits":[]}]}`, wire.CodeTooLarge},
		{"a fraction", set(`1.5`), wire.CodeRefused},
		{"an exponent", set(`1e3`), wire.CodeRefused},
		{"beyond 2^53", set(`9007199254740992`), wire.CodeRefused},
		{"an object as value", set(`{}`), wire.CodeRefused},
		{"a list as value", set(`[1]`), wire.CodeRefused},
		{"a field twice", set(`1,"a":2`), wire.CodeRefused},
		{"no stamp", act(`{"at":1,"edits":[]}`), wire.CodeRefused},
		{"not a stamp", act(`{"s":"x.1","at":1,"edits":[]}`), wire.CodeRefused},
		{"not JSON behind it", set(`1.5`) + `}`, wire.CodeMalformed},
	} {
		t.Run(c.name, func(t *testing.T) {
			q, p := wire.DecodeRequest([]byte(c.body))
			require.Nil(t, q)
			require.NotNil(t, p)
			require.Equal(t, c.code, p.Code, p.Detail)
			if c.code == wire.CodeRefused {
				require.Equal(t, 1, p.Index)
			}
		})
	}
	t.Run("the greatest whole numbers", func(t *testing.T) {
		q, p := wire.DecodeRequest([]byte(set(`-9007199254740991`)))
		require.Nil(t, p)
		require.Equal(t, replica.Int(-replica.MaxInt), q.Acts[1].Edits[0].Set["a"])
	})
}

func TestAnswerThatIsNone(t *testing.T) {
	good := vector(t, "answer.json")
	for _, c := range []struct{ name, body string }{
		{"a sign-in page", `<!doctype html><title>Welcome</title>`},
		{"nothing", ``},
		{"an empty object", `{}`},
		{"cut off", good[:len(good)-1]},
		{"a write twice", strings.Replace(good, `"f":{"score_x10":80}`, `"f":{"score_x10":80,"score_x10":80}`, 1)},
		{"took as text", strings.Replace(good, `"took":1`, `"took":"1"`, 1)},
		{"took below zero", strings.Replace(good, `"took":1`, `"took":-1`, 1)},
		{"a run twice", strings.Replace(good, `"seen":{`, `"seen":{"Qm3kZ0aT1xV":[1,"p3"],`, 1)},
		{"no mark", strings.Replace(good, `"ack":"1044.x8Zk2QAA"`, `"ack":""`, 1)},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.NotEqual(t, good, c.body)
			_, err := wire.DecodeAnswer([]byte(c.body))
			require.Error(t, err)
		})
	}
}

func TestRows(t *testing.T) {
	s, err := wire.DecodeSeen(string(wire.AppendSeen(nil, wire.Seen{N: 17, Device: "p3"})))
	require.NoError(t, err)
	require.Equal(t, wire.Seen{N: 17, Device: "p3"}, s)
	names := map[string]string{"p3": "Kitchen \"laptop\"", "p4": "päd"}
	got, err := wire.DecodeNames(string(wire.AppendNames(nil, names)))
	require.NoError(t, err)
	require.Equal(t, names, got)
	_, err = wire.DecodeSeen(`[1]`)
	require.Error(t, err)
	_, err = wire.DecodeInt(`1 2`)
	require.Error(t, err)
}
