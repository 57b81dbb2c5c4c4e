package main

import (
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/server"
	"fairmeasure/server/auth"
	"fairmeasure/sync/exchange"
	"fairmeasure/sync/schema"
	"fairmeasure/sync/store/memstore"
)

// TestOneJournalOneSetOfFigures asks a device that has read the demo's journal, and the server's API over HTTP, for the
// same things: the answers are the same bytes.
func TestOneJournalOneSetOfFigures(t *testing.T) {
	ctx, st := context.Background(), memstore.New()
	now := time.Date(2026, 5, 15, 22, 4, 0, 0, time.FixedZone("somewhere", 2*3600))
	door, err := auth.Open(ctx, auth.Config{Book: st, Now: func() time.Time { return now }, Owner: "Demo"})
	require.NoError(t, err)
	_, journal, err := door.Owner(ctx, "")
	require.NoError(t, err)
	n := 0
	require.NoError(t, seedDemo(ctx, st, journal, now, func(string) (string, error) { n++; return []string{"", "d1", "d2"}[n], nil }))
	reader := newScribe(st, journal, "a third device", "d3")
	reader.sync(ctx, now)
	require.NoError(t, reader.err)

	ln, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	base := "http://" + ln.Addr().String()
	s, err := server.New(server.Config{
		Door: door, Store: st, Rounds: exchange.New(st, exchange.Settings{App: version}), Pages: fstest.MapFS{},
		Now: func() time.Time { return now }, Log: slog.New(slog.NewTextHandler(io.Discard, nil)), PublicURL: base,
	})
	require.NoError(t, err)
	served := make(chan error, 1)
	go func() { served <- s.Serve(ln) }()
	t.Cleanup(func() {
		require.NoError(t, s.Shutdown(ctx))
		require.NoError(t, <-served)
		require.NoError(t, st.Close())
	})

	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	client := &http.Client{Jar: jar}
	t.Cleanup(client.CloseIdleConnections)
	do := func(method, path, body string) string {
		t.Helper()
		req, err := http.NewRequest(method, base+path, strings.NewReader(body))
		require.NoError(t, err)
		if method == "POST" {
			req.Header.Set("Content-Type", "application/json")
			req.Header.Set("Sec-Fetch-Site", "same-origin")
		}
		resp, err := client.Do(req)
		require.NoError(t, err)
		defer resp.Body.Close()
		all, err := io.ReadAll(resp.Body)
		require.NoError(t, err)
		require.Equal(t, 200, resp.StatusCode, "%s: %s", path, all)
		return string(all)
	}
	code, err := door.NewCode(ctx, time.Minute)
	require.NoError(t, err)
	do("POST", "/api/v1/auth/pair", `{"code":"`+code.String()+`","name":"script"}`)

	at := schema.Now{MS: now.UnixMilli(), OffsetMin: 120}
	ask := func(question string) string {
		t.Helper()
		raw, err := schema.Ask(reader.device.View(), at, []byte(question))
		require.NoError(t, err)
		return string(raw)
	}
	of := "/api/v1/journals/" + string(journal)
	query := "?now=" + url.QueryEscape(now.Format(time.RFC3339))

	week := do("GET", of+"/week"+query, "")
	require.Equal(t, ask(`{"q":"week"}`), week)
	var figures struct {
		LastSeven struct {
			Totals struct {
				Alcohol struct{ Grams, Drinks float64 }
			}
		} `json:"last_seven"`
	}
	require.NoError(t, json.Unmarshal([]byte(week), &figures))
	require.Greater(t, figures.LastSeven.Totals.Alcohol.Drinks, 4.0)
	require.InDelta(t, figures.LastSeven.Totals.Alcohol.Grams, 10*figures.LastSeven.Totals.Alcohol.Drinks, 0.5, "ten grams are an Australian drink; both are rounded to a tenth")

	require.Equal(t, ask(`{"q":"journal","days":30}`), do("GET", of+"/sessions"+query+"&days=30", ""))

	var specs struct {
		Drinks []struct{ Specs []struct{ ID string } }
	}
	require.NoError(t, json.Unmarshal([]byte(ask(`{"q":"specs"}`)), &specs))
	weighed := 0
	for _, d := range specs.Drinks {
		for _, s := range d.Specs {
			var screen, api struct{ Balance, Alcohol, Unit json.RawMessage }
			require.NoError(t, json.Unmarshal([]byte(ask(`{"q":"spec","id":"`+s.ID+`"}`)), &screen))
			require.NoError(t, json.Unmarshal([]byte(do("GET", of+"/specs/"+s.ID+"/balance", "")), &api))
			require.Equal(t, screen, api)
			weighed++
		}
	}
	require.Greater(t, weighed, 8)

	// Every pour of the list is the row of the journal screen, and none is missing.
	var list struct {
		Pours []struct{ ID, Day string }
		Total int
	}
	text := do("GET", of+"/pours?limit=500", "")
	require.NoError(t, json.Unmarshal([]byte(text), &list))
	require.Len(t, list.Pours, 27)
	require.Equal(t, 27, list.Total)
	for _, p := range list.Pours {
		var screen struct{ Pour json.RawMessage }
		require.NoError(t, json.Unmarshal([]byte(ask(`{"q":"pour","id":"`+p.ID+`"}`)), &screen))
		require.Contains(t, text, string(screen.Pour))
	}
}
