//go:build !nocompare

package schema

// Comparing is linked in by what is said here. The core of the browser is built with the tag nocompare, and does without it:
// it would take that core from 1.4 MB to 1.57 MB with gzip, and no screen asks for it yet.
func init() {
	asked = append(asked, []answering{
		{"comparisons", (*Journal).comparisons},
		{"comparison", (*Journal).comparison},
		{"plan", (*Journal).planned},
		{"flight", (*Journal).flightView},
	}...)
	acts = append(acts, []acting{
		{"compare", (*plan).compare},
		{"candidate", (*plan).candidate},
		{"anchor", (*plan).anchor},
		{"flight", (*plan).flight},
		{"taste", (*plan).taste},
		{"flight_state", (*plan).flightState},
		{"rate", (*plan).rate},
		{"trial", (*plan).trial},
	}...)
}
