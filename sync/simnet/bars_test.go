package simnet_test

import (
	"bytes"
	"compress/gzip"
	"context"
	"fmt"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/device"
	"fairmeasure/sync/exchange"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
	"fairmeasure/sync/store"
	"fairmeasure/sync/store/memstore"
	"fairmeasure/sync/wire"
)

// A journal of some years: 150 bottles, 400 specs of 6 lines, 5,000 pours, 12 fields each: 7,950 entities, 95,400 fields.
// The numbers are chosen, the texts are random words.

const (
	barJournal = "ffeeddccbbaa99887766554433221100"
	barNow     = int64(1_790_000_000_000)
	bottles    = 150
	specs      = 400
	pours      = 5000
)

var words = strings.Fields(`sharp round thin sweet too less more syrup juice next time swap base good flat hot long finish
nose citrus herbal smoke bitter balanced colder stir shake harder dilution again with crème ½ lemon honey orchard pear quince plum`)

func phrase(r *rand.Rand, n int) replica.Value {
	var b []string
	for range r.IntN(n + 1) {
		b = append(b, words[r.IntN(len(words))])
	}
	return replica.Text(strings.Join(b, " "))
}

type thing struct {
	id   replica.ID
	kind string
	set  map[string]replica.Value
}

func barID(r *rand.Rand, ms int64) replica.ID {
	const crockford = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
	var b [26]byte
	for i := 9; i >= 0; i-- {
		b[i] = crockford[ms&31]
		ms >>= 5
	}
	for i := 10; i < 26; i++ {
		b[i] = crockford[r.IntN(32)]
	}
	return replica.ID(b[:])
}

func years() []thing {
	r := rand.New(rand.NewPCG(1, 5))
	var all []thing
	at := barNow - 5*365*86_400_000
	add := func(kind string, numbers, texts, flags int, text int) replica.ID {
		at += 19_000_000
		t := thing{barID(r, at), kind, map[string]replica.Value{}}
		for i := range numbers {
			t.set[fmt.Sprintf("%s_n%d", kind, i)] = replica.Int(r.Int64N(1_000_000))
		}
		for i := range texts {
			t.set[fmt.Sprintf("%s_t%d", kind, i)] = phrase(r, text)
		}
		for i := range flags {
			t.set[fmt.Sprintf("tag.%s%d", kind, i)] = replica.Bool(r.IntN(2) == 0)
		}
		all = append(all, t)
		return t.id
	}
	for range bottles {
		add("bottle", 7, 4, 1, 5)
	}
	for range specs {
		owner := add("spec", 4, 7, 1, 5)
		for range 6 {
			add("line", 7, 3, 1, 2)
			all[len(all)-1].set["owner"] = replica.Text(string(owner))
		}
	}
	for range pours {
		add("pour", 6, 4, 2, 8)
	}
	return all
}

// carrier is a device whose disk never fails and costs nothing.
type carrier struct {
	t      testing.TB
	dev    *device.Device
	server *exchange.Exchange
	up     int // bytes of the last request and answer
	down   int
	busy   time.Duration // in the device itself
}

func newCarrier(t testing.TB, x *exchange.Exchange, name string) *carrier {
	t.Helper()
	runs := 0
	c := &carrier{t: t, server: x, dev: device.New(device.Options{Journal: barJournal, App: "1.4.0", Run: func() replica.Run {
		runs++
		return replica.Run(fmt.Sprintf("%s%0*d", name, 11-len(name), runs))
	}})}
	require.NoError(t, c.dev.Ready())
	return c
}

func barServer() *exchange.Exchange {
	return exchange.New(memstore.New(), exchange.Settings{App: "1.5.0"})
}

func (c *carrier) act(edits ...replica.Edit) {
	ch, err := c.dev.Act(barNow, func(schema.View) ([]replica.Edit, error) { return edits, nil })
	require.NoError(c.t, err)
	require.NoError(c.t, c.dev.Settle(ch.No, device.Done))
}

func (c *carrier) set(id replica.ID, kind string, set map[string]replica.Value) {
	ed, err := schema.Set(c.dev, id, kind, set)
	require.NoError(c.t, err)
	c.act(ed)
}

func (c *carrier) ask() bool {
	began := time.Now()
	ticket, body := c.dev.Request(barNow, 0)
	c.busy += time.Since(began)
	a, err := c.server.Round(context.Background(), exchange.Ask{Journal: store.Journal(barJournal), Device: "p", Now: barNow, Body: body})
	require.NoError(c.t, err)
	answer := a.Append(nil)
	c.up, c.down = len(body), len(answer)
	began = time.Now()
	ch, next := c.dev.Answer(barNow, ticket, 200, answer)
	if ch != nil {
		require.NoError(c.t, c.dev.Settle(ch.No, device.Done))
	}
	c.busy += time.Since(began)
	return next.What == device.Again
}

func (c *carrier) sync() {
	for c.ask() {
	}
}

// filled gives a server that holds all of it.
func filled(t testing.TB) (*exchange.Exchange, []thing) {
	t.Helper()
	x, all := barServer(), years()
	c := newCarrier(t, x, "old")
	for i := 0; i < len(all); i += 7 {
		var edits []replica.Edit
		for _, th := range all[i:min(i+7, len(all))] {
			edits = append(edits, replica.Edit{ID: th.id, Kind: th.kind, Set: th.set})
		}
		c.act(edits...)
	}
	c.sync()
	return x, all
}

// clashingEdits makes 500 edits on each of two devices, the first 50 on the same fields, and 20 deletes against edits.
func clashingEdits(a, b *carrier, all []thing) {
	n := len(all)
	one := func(c *carrier, th thing, v string) {
		c.set(th.id, th.kind, map[string]replica.Value{th.kind + "_n0": replica.Text(v)})
	}
	for i := range 50 {
		one(a, all[n-1-i], "of a")
		one(b, all[n-1-i], "of b")
	}
	for i := range 450 {
		one(a, all[1000+i], "of a")
		one(b, all[2000+i], "of b")
	}
	for i := range 20 {
		del, err := schema.Delete(a.dev, all[3000+i].id)
		require.NoError(a.t, err)
		a.act(del)
		one(b, all[3000+i], "meanwhile")
	}
}

func TestBars(t *testing.T) {
	x, all := filled(t)
	a, b := newCarrier(t, x, "a"), newCarrier(t, x, "b")
	var gz, plain, pages int
	for more := true; more; pages++ {
		ticket, body := a.dev.Request(barNow, 0)
		answer, err := x.Round(context.Background(), exchange.Ask{Journal: store.Journal(barJournal), Device: "p", Now: barNow, Body: body})
		require.NoError(t, err)
		raw := answer.Append(nil)
		var zipped bytes.Buffer
		w := gzip.NewWriter(&zipped)
		_, err = w.Write(raw)
		require.NoError(t, err)
		require.NoError(t, w.Close())
		gz, plain = gz+zipped.Len(), plain+len(raw)
		ch, next := a.dev.Answer(barNow, ticket, 200, raw)
		require.NoError(t, a.dev.Settle(ch.No, device.Done))
		more = next.What == device.Again
	}
	b.sync()
	t.Logf("first pull: %d pages, %d bytes, %d gzipped", pages, plain, gz)
	require.LessOrEqual(t, gz, 850_000)

	a.set(barID(rand.New(rand.NewPCG(9, 9)), barNow), "pour", map[string]replica.Value{
		"at_ms": replica.Int(barNow), "offset_min": replica.Int(120), "zone": replica.Text("Europe/Berlin"), "score_x10": replica.Int(85),
		"made": replica.Text("gin 45 ml 44 %; lemon juice 22.5 ml; honey syrup 22.5 ml; orange bitters 1.8 ml; shaken"),
		"note": replica.Text("sharp at first, then honey"), "spec": replica.Text(string(all[200].id)), "drink": replica.Text(string(all[200].id)),
		"share_bp": replica.Int(10_000), "tag.citrus": replica.Bool(true),
	})
	a.sync()
	t.Logf("one pour: %d bytes up, %d down", a.up, a.down)
	require.LessOrEqual(t, a.up, 1200)
	require.LessOrEqual(t, a.down, 1200)

	clashingEdits(a, b, all)
	for range 2 {
		a.sync()
		b.sync()
	}
	kept, survived, hidden := 0, 0, 0
	for i := range 50 {
		e, ok := b.dev.Get(all[len(all)-1-i].id)
		if ok && len(e.Fields[e.Kind+"_n0"]) == 2 && e.Clash(e.Kind+"_n0") {
			kept++
		}
	}
	for i := range 20 {
		e, ok := a.dev.Get(all[3000+i].id)
		if w, _ := e.Shown(e.Kind + "_n0"); ok && w.Value == replica.Text("meanwhile") && replica.Deleted(e).Shown() {
			survived++
		}
	}
	for i := range 450 {
		for j, want := range map[int]string{1000 + i: "of a", 2000 + i: "of b"} {
			e, ok := a.dev.Get(all[j].id)
			if w, _ := e.Shown(e.Kind + "_n0"); !ok || w.Value != replica.Text(want) || e.Clash(e.Kind+"_n0") || !replica.Deleted(e).Shown() {
				hidden++
			}
		}
	}
	require.Equal(t, 50, kept, "both rival values")
	require.Equal(t, 20, survived, "edits against a delete")
	require.Zero(t, hidden, "uncontested edits")
	require.Len(t, a.dev.Looks(), 70)
	require.Equal(t, a.dev.Looks(), b.dev.Looks())
}

func BenchmarkFirstPull(b *testing.B) {
	x, _ := filled(b)
	var busy time.Duration
	n := 0
	for b.Loop() {
		c := newCarrier(b, x, "c")
		c.sync()
		busy += c.busy
		n++
	}
	b.ReportMetric(busy.Seconds()*1000/float64(n), "ms-device")
	runtime.GC()
	c := newCarrier(b, x, "d")
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	c.sync()
	runtime.GC()
	runtime.ReadMemStats(&after)
	b.ReportMetric(float64(after.HeapAlloc-before.HeapAlloc)/1e6, "MB-kept")
	runtime.KeepAlive(c)
}

// BenchmarkLoad is opening the app: all rows from the disk.
func BenchmarkLoad(b *testing.B) {
	_, all := filled(b)
	var rows []device.Row
	for i, th := range all {
		e := &replica.Entity{ID: th.id, Kind: th.kind}
		for f, v := range th.set {
			e.Put(f, replica.Write{Stamp: replica.Stamp{Run: "old00000001", N: uint64(i/7 + 1)}, At: barNow, Value: v})
		}
		rows = append(rows, device.Row{Key: `["` + th.kind + `","` + string(th.id) + `"]`, Value: string(wire.AppendEntity(nil, e))})
	}
	for b.Loop() {
		d := device.New(device.Options{Journal: barJournal})
		for i := 0; i < len(rows); i += 500 {
			require.NoError(b, d.Load(device.StoreCopy, rows[i:min(i+500, len(rows))]))
		}
		require.NoError(b, d.Ready())
	}
}

// BenchmarkMerge is one device sending 500 edits of its own and taking in 500 of another: the time in the device itself.
func BenchmarkMerge(b *testing.B) {
	var busy time.Duration
	n := 0
	for b.Loop() {
		x, all := filled(b)
		one, two := newCarrier(b, x, "one"), newCarrier(b, x, "two")
		one.sync()
		two.sync()
		clashingEdits(one, two, all)
		one.sync()
		two.busy = 0
		two.sync()
		busy += two.busy
		n++
	}
	b.ReportMetric(busy.Seconds()*1000/float64(n), "ms-device")
	b.ReportMetric(0, "ns/op")
}

// BenchmarkAct is one edit in a journal of that size with 500 unsent actions.
func BenchmarkAct(b *testing.B) {
	x, all := filled(b)
	c := newCarrier(b, x, "c")
	c.sync()
	for i := range 500 {
		c.set(all[i].id, all[i].kind, map[string]replica.Value{"note": replica.Int(int64(i))})
	}
	i := 0
	for b.Loop() {
		i++
		th := all[i%len(all)]
		c.set(th.id, th.kind, map[string]replica.Value{"note": replica.Int(int64(i))})
	}
}
