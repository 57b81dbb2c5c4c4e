package server_test

import (
	"bytes"
	"cmp"
	"compress/gzip"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/server"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
	"fairmeasure/sync/store"
)

type obj = map[string]any

// writer is a signed-in device that keeps its own copy: it does intents, sends them, and can be asked what the API is.
type writer struct {
	*device
	state *replica.State
	run   replica.Run
	n     uint64
	now   schema.Now
	queue []replica.Action
}

// evening is 22:04 on Friday 15 May 2026 at two hours east of UTC.
const evening = "2026-05-15T22:04:00+02:00"

func (h *house) writer() *writer {
	h.t.Helper()
	return h.admit().writes()
}

// writes makes a device one that keeps its own copy.
func (d *device) writes() *writer {
	d.h.t.Helper()
	at, err := time.Parse(time.RFC3339, evening)
	require.NoError(d.h.t, err)
	return &writer{device: d, state: replica.NewState(), run: replica.Run((d.ID + "00000000000")[:11]), now: schema.Now{MS: at.UnixMilli(), OffsetMin: 120}}
}

func (w *writer) Get(id replica.ID) (*replica.Entity, bool) { return w.state.Get(id) }

func (w *writer) Each(kind string, fn func(*replica.Entity) bool) {
	for e := range w.state.Entities() {
		if e.Kind == kind && !fn(e) {
			return
		}
	}
}

func (w *writer) DeviceOf(replica.Run) string { return "" }

func (w *writer) act(intent obj) {
	w.h.t.Helper()
	raw, err := json.Marshal(intent)
	require.NoError(w.h.t, err)
	plan, err := schema.Act(w, w.now, raw)
	require.NoError(w.h.t, err, string(raw))
	w.n++
	a := replica.Action{Stamp: replica.Stamp{Run: w.run, N: w.n}, At: w.now.MS, Edits: plan.Edits}
	require.Equal(w.h.t, replica.Taken, w.state.Apply(&a))
	w.queue = append(w.queue, a)
}

func (w *writer) send() {
	w.h.t.Helper()
	a := w.post(w.syncPath(), w.request(w.queue...))
	require.Equal(w.h.t, 200, a.Status, a.Body)
	require.Contains(w.h.t, a.Body, fmt.Sprintf(`"took":%d`, len(w.queue)))
	w.queue = nil
}

func (w *writer) ask(question string) string {
	w.h.t.Helper()
	raw, err := schema.Ask(w, w.now, []byte(question))
	require.NoError(w.h.t, err)
	return string(raw)
}

// path is an address under the journal.
func (w *writer) path(rest string, query ...string) string {
	p := "/api/v1/journals/" + w.Journal + rest
	for i := 0; i < len(query); i += 2 {
		p += []string{"?", "&"}[min(i, 1)] + query[i] + "=" + url.QueryEscape(query[i+1])
	}
	return p
}

func newID(n int) string { return fmt.Sprintf("01KRPZ0000%016d", n) }

var sour = newID(1)

// evenings writes a small invented journal: one spec, a few evenings, a confirmed day.
func (w *writer) evenings() {
	w.h.t.Helper()
	tonight := w.now
	w.act(obj{"do": "set", "name": "country", "value": "AU"})
	w.act(obj{"do": "set", "name": "own_week_drinks_x10", "value": 100})
	w.act(obj{"do": "spec", "id": sour, "drink": newID(2), "drink_name": "Orchard Sour", "name": "First version", "method": "shaken", "ice": "cubes",
		"lines": []obj{{"typed": "37.5 ml gin, 47 %"}, {"typed": "15 ml pear eau-de-vie, 42 %"}, {"typed": "22.5 ml lemon juice"}, {"typed": "15 ml honey syrup 2:1"}, {"typed": "2 dashes orange bitters"}}})
	for i, daysAgo := range []int64{20, 9, 5, 3, 1} {
		w.now.MS = tonight.MS - daysAgo*86_400_000
		w.act(obj{"do": "pour", "id": newID(10 + 2*i), "spec": sour, "score_x10": 75, "note": "Pear first, then dry.", "tags": []string{"pear"}})
		w.now.MS += 50 * 60_000
		w.act(obj{"do": "plain", "id": newID(11 + 2*i), "name": "Glass of cider", "vol_ul": 330_000, "abv_bp": 450})
	}
	w.act(obj{"do": "day", "day": "2026-05-13", "alcohol_free": true})
	w.now = tonight
	w.act(obj{"do": "plain", "id": newID(40), "name": "some punch", "vol_ul": 200_000, "abv_bp": nil})
	w.send()
}

// TestTheAPIGivesTheDevicesFigures holds the answers against what the core gives on the device that wrote the journal.
func TestTheAPIGivesTheDevicesFigures(t *testing.T) {
	w := newHouse(t).writer()
	w.evenings()

	a := w.get(w.path("/week", "now", evening))
	require.Equal(t, 200, a.Status, a.Body)
	require.Equal(t, "no-store", a.Header.Get("Cache-Control"))
	require.Equal(t, w.ask(`{"q":"week"}`), a.Body)
	require.Contains(t, a.Body, `"grams":`)

	a = w.get(w.path("/sessions", "now", evening, "days", "12"))
	require.Equal(t, w.ask(`{"q":"journal","days":12}`), a.Body)
	require.Equal(t, w.ask(`{"q":"journal","days":0}`), w.get(w.path("/sessions", "now", evening)).Body)

	want, ok := schema.NewReader().Balance(w, replica.ID(sour))
	require.True(t, ok)
	a = w.get(w.path("/specs/" + sour + "/balance"))
	require.Equal(t, 200, a.Status, a.Body)
	require.Equal(t, string(want), a.Body)

	var pours []string
	before := ""
	for {
		query := []string{"limit", "4"}
		if before != "" {
			query = append(query, "before", before)
		}
		a := w.get(w.path("/pours", query...))
		require.Equal(t, 200, a.Status, a.Body)
		var got struct {
			Pours []struct{ ID string }
			Next  *string
		}
		require.NoError(t, json.Unmarshal([]byte(a.Body), &got))
		for _, p := range got.Pours {
			pours = append(pours, p.ID)
		}
		if got.Next == nil {
			break
		}
		before = *got.Next
	}
	require.Len(t, pours, 11)
	require.Len(t, slices.Compact(slices.Sorted(slices.Values(pours))), 11)
	require.Equal(t, newID(40), pours[0])
	require.Equal(t, string(schema.NewReader().Pours(w, w.now, schema.PoursAsked{Days: 4, Limit: 50})), w.get(w.path("/pours", "now", evening, "days", "4")).Body)

	// The figures by hand: 330 ml at 4.5 % are 14.85 ml of ethanol, 11.7 g by 0.789; ten grams are an Australian drink.
	require.Contains(t, w.get(w.path("/pours")).Body, `"name":"Glass of cider","version":"","benchmark":false,"plain":true,"share_bp":10000,"score_x10":null,"alcohol":{"grams":11.7,"drinks":1.2,`)
}

func TestWhatNowIs(t *testing.T) {
	w := newHouse(t).writer()
	w.evenings()
	for _, now := range []string{
		"", "2026-05-15", "2026-05-15T22:04:00", "2026-05-15T22:04+02:00", "2026-05-15T22:04:00-00:00", "1778875440000", "2026-05-15T22:04:00+15:00",
		"2026-02-30T22:04:00Z", "2101-01-01T00:00:00Z", "1969-12-31T00:00:00Z", "2026-05-15 22:04:00 02:00",
	} {
		for _, path := range []string{w.path("/week", "now", now), w.path("/sessions", "now", now), w.path("/pours", "days", "3", "now", now)} {
			a := w.get(path)
			require.Equal(t, 400, a.Status, path)
			require.Equal(t, "now_with_offset", a.code(t), path)
			require.Contains(t, a.Body, w.Journal)
		}
	}
	for _, path := range []string{w.path("/week"), w.path("/sessions"), w.path("/sessions", "days", "3"), w.path("/pours", "days", "3")} {
		require.Equal(t, "now_with_offset", w.get(path).code(t), path)
	}
	require.Equal(t, 200, w.get(w.path("/week")+"?now="+evening).Status, "a plus sign as it is")
	require.Equal(t, 200, w.get(w.path("/week", "now", "2026-05-15T20:04:00Z")).Status)
	require.Equal(t, 200, w.get(w.path("/week", "now", "2026-05-15T20:04:00.5-03:30")).Status)

	t.Run("the offset decides the day", func(t *testing.T) {
		for now, day := range map[string]string{
			"2026-05-16T04:59:00+02:00": "2026-05-15", "2026-05-16T05:00:00+02:00": "2026-05-16", "2026-05-16T03:00:00Z": "2026-05-15", "2026-05-16T03:00:00+12:00": "2026-05-15",
		} {
			var got struct {
				Day string `json:"now_day"`
			}
			require.NoError(t, json.Unmarshal([]byte(w.get(w.path("/week", "now", now)).Body), &got))
			require.Equal(t, day, got.Day, now)
		}
	})
}

func TestQueriesAreMeasured(t *testing.T) {
	w := newHouse(t).writer()
	w.evenings()
	for path, code := range map[string]string{
		w.path("/week", "now", evening, "days", "3"):                  "query",
		w.path("/week", "now", evening, "now", evening):               "query",
		w.path("/week", "now", evening, "Now", evening):               "query",
		w.path("/specs/"+sour+"/balance", "now", evening):             "query",
		w.path("/sessions", "now", evening, "days", "0"):              "days",
		w.path("/sessions", "now", evening, "days", ""):               "days",
		w.path("/sessions", "now", evening, "days", "-1"):             "days",
		w.path("/sessions", "now", evening, "days", "40001"):          "days",
		w.path("/sessions", "now", evening, "days", "1e3"):            "days",
		w.path("/sessions", "now", evening, "days", `1,"q":"keeper"`): "days",
		w.path("/pours", "limit", "0"):                                "limit",
		w.path("/pours", "limit", "501"):                              "limit",
		w.path("/pours", "limit", "+5"):                               "limit",
		w.path("/pours", "before", ""):                                "before",
		w.path("/pours", "before", "yesterday"):                       "before",
		w.path("/pours", "before", newID(10)):                         "before",
	} {
		a := w.get(path)
		require.Equal(t, 400, a.Status, path)
		require.Equal(t, code, a.code(t), path)
	}
	require.Equal(t, 200, w.get(w.path("/sessions", "now", evening, "days", "40000")).Status)
	require.Equal(t, 200, w.get(w.path("/pours", "limit", "500")).Status)
	for _, spec := range []string{noSpec, newID(10), "x", "..", "%00", "set.country"} {
		require.Equal(t, 404, w.get("/api/v1/journals/"+w.Journal+"/specs/"+spec+"/balance").Status, spec)
	}
}

func TestAnEmptyJournalHasTotals(t *testing.T) {
	w := newHouse(t).writer()
	require.Equal(t, w.ask(`{"q":"week"}`), w.get(w.path("/week", "now", evening)).Body)
	require.Equal(t, w.ask(`{"q":"journal"}`), w.get(w.path("/sessions", "now", evening)).Body)
	require.Contains(t, w.get(w.path("/pours")).Body, `"pours":[],"total":0,"next":null`)
}

func TestTotalsAreCompressed(t *testing.T) {
	w := newHouse(t).writer()
	w.evenings()
	for path, packed := range map[string]bool{w.path("/week", "now", evening): true, w.path("/pours", "limit", "1"): false, "/api/v1/openapi.json": true} {
		plain := w.get(path)
		require.Equal(t, packed, len(plain.Body) > 1024, path)
		require.Empty(t, plain.Header.Get("Content-Encoding"))
		req := httptest.NewRequest("GET", path, http.NoBody)
		req.Header.Set("Accept-Encoding", "gzip")
		a := w.do(req)
		require.Equal(t, "Accept-Encoding", a.Header.Get("Vary"))
		if !packed {
			require.Empty(t, a.Header.Get("Content-Encoding"), path)
			continue
		}
		require.Equal(t, "gzip", a.Header.Get("Content-Encoding"), path)
		r, err := gzip.NewReader(bytes.NewReader([]byte(a.Body)))
		require.NoError(t, err)
		body, err := io.ReadAll(r)
		require.NoError(t, err)
		require.Equal(t, plain.Body, string(body))
	}
}

// watched is a store that counts what is read of journals, and can be made to fail.
type watched struct {
	store.Store
	mu    sync.Mutex
	pages []store.Page
	fails error
}

func (w *watched) View(ctx context.Context, j store.Journal, fn func(store.Reader) error) error {
	return w.Store.View(ctx, j, func(r store.Reader) error { return fn(&watchedReader{r, w}) })
}

func (w *watched) read() (pages, entities int) {
	w.mu.Lock()
	defer w.mu.Unlock()
	for _, p := range w.pages {
		entities += len(p.Entities)
	}
	pages = len(w.pages)
	w.pages = nil
	return pages, entities
}

type watchedReader struct {
	store.Reader
	w *watched
}

func (r *watchedReader) After(cursor store.Mark, max store.Limits) (store.Page, error) {
	p, err := r.Reader.After(cursor, max)
	r.w.mu.Lock()
	defer r.w.mu.Unlock()
	r.w.pages = append(r.w.pages, p)
	return p, cmp.Or(r.w.fails, err)
}

func watchedHouse(t *testing.T) (*house, *watched) {
	w := &watched{}
	h := newHouse(t, func(c *server.Config) { w.Store = c.Store; c.Store = w })
	return h, w
}

func TestAnUnchangedJournalIsReadOnce(t *testing.T) {
	h, st := watchedHouse(t)
	w := h.writer()
	w.evenings()
	st.read()
	week := w.path("/week", "now", evening)
	require.Equal(t, 200, w.get(week).Status)
	pages, entities := st.read()
	require.Equal(t, 1, pages)
	require.Greater(t, entities, 15)

	for _, path := range []string{week, w.path("/week", "now", "2026-05-14T12:00:00Z"), w.path("/sessions", "now", evening), w.path("/pours"), w.path("/specs/" + sour + "/balance")} {
		require.Equal(t, 200, w.get(path).Status)
	}
	pages, _ = st.read()
	require.Zero(t, pages)

	t.Run("of a changed one what changed", func(t *testing.T) {
		w.act(obj{"do": "plain", "id": newID(41), "name": "pint", "vol_ul": 568_000, "abv_bp": 450})
		w.send()
		st.read()
		require.Equal(t, w.ask(`{"q":"week"}`), w.get(week).Body)
		pages, entities := st.read()
		require.Equal(t, []int{1, 1}, []int{pages, entities})
		w.act(obj{"do": "delete", "id": newID(41)})
		w.act(obj{"do": "edit", "id": newID(10), "kind": "pour", "set": obj{"note": "Too tart after all."}})
		w.send()
		require.Equal(t, w.ask(`{"q":"week"}`), w.get(week).Body)
		require.Equal(t, w.ask(`{"q":"journal","days":30}`), w.get(w.path("/sessions", "now", evening)).Body)
	})
	t.Run("a failed reading changes nothing", func(t *testing.T) {
		w.act(obj{"do": "plain", "id": newID(42), "name": "pint", "vol_ul": 568_000, "abv_bp": 450})
		w.send()
		st.mu.Lock()
		st.fails = store.ErrDamaged
		st.mu.Unlock()
		a := w.get(week)
		require.Equal(t, 503, a.Status)
		st.mu.Lock()
		st.fails = nil
		st.mu.Unlock()
		require.Equal(t, w.ask(`{"q":"week"}`), w.get(week).Body)
	})
	t.Run("several at once", func(t *testing.T) {
		want := w.ask(`{"q":"week"}`)
		var all sync.WaitGroup
		for range 8 {
			all.Go(func() {
				req := httptest.NewRequest("GET", week, http.NoBody)
				for k, v := range w.cookies {
					req.AddCookie(&http.Cookie{Name: k, Value: v})
				}
				if a := h.do(req); a.Status != 200 || a.Body != want {
					t.Errorf("%d: %s", a.Status, a.Body)
				}
			})
		}
		all.Wait()
	})
	t.Run("an erased journal is let go of", func(t *testing.T) {
		require.Equal(t, 1, h.server.Readings())
		require.NoError(t, h.store.Drop(context.Background(), store.Journal(w.Journal)))
		for _, path := range []string{week, w.path("/sessions", "now", evening), w.path("/pours"), w.path("/specs/" + sour + "/balance")} {
			a := w.get(path)
			require.Equal(t, 410, a.Status)
			require.Equal(t, "erased", a.code(t))
		}
		require.Zero(t, h.server.Readings())
	})
}

// TestReadingsAreBounded reads many journals: those not asked about for longest are let go of, and read anew when asked.
func TestReadingsAreBounded(t *testing.T) {
	h, st := watchedHouse(t)
	journal := func(n int) store.Journal { return store.Journal(fmt.Sprintf("%032x", n)) }
	write := func(n, bytes int) {
		e := store.Entity{Entity: replica.Entity{ID: replica.ID(newID(n)), Kind: "pour", Fields: map[string][]replica.Write{
			"note": {{Stamp: replica.Stamp{Run: "AAAAAAAAAAA", N: 1}, At: 1, Value: replica.Text("a note")}},
		}}, Commit: 1}
		require.NoError(t, h.store.Commit(context.Background(), journal(n), store.Mark{}, store.Commit{
			No: 1, Tag: "AAAAAAAA", Entities: []store.Entity{e}, Seen: map[replica.Run]store.SeenAt{"AAAAAAAAAAA": {N: 1, Commit: 1, Device: "d1"}},
			Size: store.Size{Entities: 1, Bytes: int64(bytes)},
		}))
	}
	read := func(n int) (pages int) {
		require.NoError(t, h.server.Read(journal(n)))
		pages, _ = st.read()
		return pages
	}
	for n := range 40 {
		write(n, 100)
		require.Equal(t, 1, read(n))
		require.Zero(t, read(0), "used every time, so it is kept")
	}
	require.Equal(t, 16, h.server.Readings())
	require.Zero(t, read(39))
	require.Equal(t, 1, read(1))

	write(50, 16<<20)
	read(50)
	require.Equal(t, 16, h.server.Readings())
	write(51, 16<<20)
	read(51)
	require.Equal(t, 1, h.server.Readings(), "by bytes too")
	require.Zero(t, read(51))
	write(52, 25<<20)
	require.Equal(t, 1, read(52))
	require.Equal(t, 1, read(52), "one that is too large is answered and not kept")
	require.Zero(t, h.server.Readings())
}

// TestTheBalanceAndTheTotalsSayTheSameAlcohol: what the balance of a spec does not know of its alcohol, neither its standard
// drinks nor the evening, the week or the list of pours know.
func TestTheBalanceAndTheTotalsSayTheSameAlcohol(t *testing.T) {
	w := newHouse(t).writer()
	for n, c := range []struct {
		lines   []string
		atLeast bool
	}{
		{[]string{"45 ml gin, 44 %", "zzyx tincture to taste"}, true},
		{[]string{"45 ml gin, 44 %", "15 ml zzyx tincture"}, true},
		{[]string{"45 ml gin, 44 %", "1 part lime juice", "rinse: absinthe, 60 %", "top with soda"}, false},
	} {
		lines := []obj{}
		for _, l := range c.lines {
			lines = append(lines, obj{"typed": l})
		}
		spec := newID(900 + n)
		w.act(obj{"do": "spec", "id": spec, "drink_name": fmt.Sprint("drink ", n), "method": "stirred", "lines": lines})
		w.now.MS += 24 * 3600_000 * 8
		w.act(obj{"do": "pour", "id": newID(910 + n), "spec": spec})
		w.send()
		now := time.UnixMilli(w.now.MS).UTC().Format(time.RFC3339)
		get := func(path string) (v map[string]any) {
			a := w.get(path)
			require.Equal(t, 200, a.Status, a.Body)
			require.NoError(t, json.Unmarshal([]byte(a.Body), &v))
			return v
		}
		type alcohol struct {
			Grams   float64
			AtLeast bool `json:"at_least"`
		}
		var balance struct {
			Alcohol alcohol
			Balance struct {
				Before, After struct {
					Alcohol struct {
						Grams   float64 `json:"v"`
						AtLeast bool    `json:"at_least"`
					} `json:"alcohol_g"`
				}
			}
		}
		raw, err := json.Marshal(get(w.path("/specs/" + spec + "/balance")))
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(raw, &balance))
		require.Equal(t, c.atLeast, balance.Alcohol.AtLeast)
		require.Equal(t, balance.Alcohol, alcohol(balance.Balance.Before.Alcohol))
		require.Equal(t, balance.Alcohol, alcohol(balance.Balance.After.Alcohol))
		week := get(w.path("/week", "now", now))
		said := week["last_seven"].(obj)["totals"].(obj)["alcohol"].(obj)
		require.Equal(t, []any{balance.Alcohol.Grams, c.atLeast}, []any{said["grams"], said["at_least"]})
	}
}
