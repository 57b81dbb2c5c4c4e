package solution

// What tests look at, and nothing else does.

// PerLitre gives grams of sugar in a litre of syrup at 20 °C.
func PerLitre(b Brix) (float64, error) {
	rho, err := Density(b)
	return float64(b) / 100 * rho, err
}
