package main

import (
	"context"
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/schema"
	"fairmeasure/sync/store"
	"fairmeasure/sync/store/memstore"
)

// ask puts a question to a device that has read the whole demo.
func ask(t *testing.T, s *scribe, now time.Time, question string, into any) {
	t.Helper()
	_, offset := now.Zone()
	raw, err := schema.Ask(s.device.View(), schema.Now{MS: now.UnixMilli(), OffsetMin: offset / 60}, []byte(question))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(raw, into))
}

func demoReader(t *testing.T, now time.Time) *scribe {
	t.Helper()
	ctx, st := context.Background(), memstore.New()
	j := store.Journal("0123456789abcdef0123456789abcdef")
	n := 0
	require.NoError(t, seedDemo(ctx, st, j, now, func(string) (string, error) { n++; return []string{"", "d1", "d2"}[n], nil }))
	reader := newScribe(st, j, "a third device", "d3")
	reader.sync(ctx, now)
	require.NoError(t, reader.err)
	return reader
}

// TestDemoTellsItsStory at many hours, days and places, so that no time of starting it makes a hole.
func TestDemoTellsItsStory(t *testing.T) {
	zone := time.FixedZone("somewhere", 9*3600+1800)
	for _, now := range append(moments(t), time.Date(2026, 11, 25, 0, 5, 0, 0, zone), time.Date(2026, 11, 25, 6, 0, 0, 0, zone)) {
		t.Run(now.Format(time.RFC3339), func(t *testing.T) {
			reader := demoReader(t, now)

			var tonight struct {
				Session *struct {
					Pours  []struct{ Name string }
					Totals struct {
						Alcohol struct {
							Drinks  float64
							AtLeast bool `json:"at_least"`
						}
					}
				}
				Again *struct{ Name string }
				Water float64 `json:"water_ml"`
			}
			ask(t, reader, now, `{"q":"tonight"}`, &tonight)
			require.NotNil(t, tonight.Session)
			require.Len(t, tonight.Session.Pours, 2)
			require.Greater(t, tonight.Session.Totals.Alcohol.Drinks, 2.0)
			require.False(t, tonight.Session.Totals.Alcohol.AtLeast)
			require.Equal(t, "Orchard Sour", tonight.Again.Name)

			var specs struct {
				Drinks []struct {
					Name  string
					Specs []struct {
						ID, Name  string
						Benchmark bool
						Poured    int
					}
				}
			}
			ask(t, reader, now, `{"q":"specs"}`, &specs)
			unpoured := 0
			for _, d := range specs.Drinks {
				if d.Name != "Orchard Sour" {
					continue
				}
				require.True(t, d.Specs[0].Benchmark)
				require.GreaterOrEqual(t, len(d.Specs), 8, "a benchmark, five gins, a pear, verjus, bitter")
				for _, s := range d.Specs {
					if s.Poured == 0 {
						unpoured++
						require.Equal(t, "Bitter: gentian, 5 ml", s.Name)
						var spec struct {
							Lines []struct {
								Name    string
								Changed bool
							}
							Balance struct {
								After map[string]struct{ V *float64 }
							}
						}
						ask(t, reader, now, `{"q":"spec","id":"`+s.ID+`"}`, &spec)
						require.Len(t, spec.Lines, 7)
						for _, l := range spec.Lines {
							require.Equal(t, l.Name == "gentian liqueur", l.Changed, l.Name)
						}
						for key, f := range spec.Balance.After {
							require.NotNil(t, f.V, key)
						}
					}
				}
			}
			require.Equal(t, 1, unpoured)

			var keeper struct {
				Clashes []struct {
					Kind, Field string
					Values      []struct{ Text string }
				}
				NeedsLook []any `json:"needs_look"`
				Settings  struct{ Country string }
				Counts    struct{ Pours int }
			}
			ask(t, reader, now, `{"q":"keeper"}`, &keeper)
			require.Len(t, keeper.Clashes, 1)
			require.Equal(t, "note", keeper.Clashes[0].Field)
			require.Len(t, keeper.Clashes[0].Values, 2)
			require.Empty(t, keeper.NeedsLook)
			require.Equal(t, "AU", keeper.Settings.Country)
			require.Equal(t, 27, keeper.Counts.Pours)

			var side struct {
				Rows []struct {
					ID         string
					Candidates []int
					Scored     int
				}
			}
			ask(t, reader, now, `{"q":"comparisons"}`, &side)
			require.Len(t, side.Rows, 2)
			require.Equal(t, []int{2}, side.Rows[1].Candidates)
			require.Positive(t, side.Rows[1].Scored)
			require.Equal(t, []int{6, 2}, side.Rows[0].Candidates)
			var compared struct {
				AnchorX10 int `json:"anchor_x10"`
				Anchors   []any
				Flights   []struct {
					Scored int
					State  string
				}
				Findings []struct {
					Verdict string
					Scores  []int `json:"scores_x10"`
				}
				Say []struct{ Code string }
			}
			ask(t, reader, now, `{"q":"comparison","id":"`+side.Rows[0].ID+`"}`, &compared)
			require.Len(t, compared.Findings, 12)
			require.Len(t, compared.Anchors, 2)
			require.Equal(t, 70, compared.AnchorX10)
			require.Len(t, compared.Flights, 3)
			for _, f := range compared.Flights {
				require.Equal(t, 3, f.Scored)
				require.Equal(t, "ended", f.State)
			}
			require.NotEmpty(t, compared.Say)
			require.NotEqual(t, "none_yet", compared.Say[0].Code)

			var week struct {
				LastSeven struct {
					Totals struct{ Alcohol struct{ Drinks float64 } }
					Days   []struct{ State string }
				} `json:"last_seven"`
			}
			ask(t, reader, now, `{"q":"week"}`, &week)
			require.Greater(t, week.LastSeven.Totals.Alcohol.Drinks, 4.0)
			states := map[string]int{}
			for _, d := range week.LastSeven.Days {
				states[d.State]++
			}
			require.Positive(t, states["drunk"])
			require.Positive(t, states["free"])
			require.Positive(t, states["nothing"])
		})
	}
}
