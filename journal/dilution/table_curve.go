package dilution

// Water taken up by stirred and shaken drinks, as a share of the volume before, from the starting strength.
//
// Source: D. Arnold, Liquid Intelligence (W. W. Norton, 2014), p. 123, published regressions; coefficients agree in
// several independent public transcriptions, the book itself was not re-read.
// Units: a is % vol before as a fraction of 1; the result is ml of water for one ml of drink before.
// Range: 0.15 to 0.45; both curves turn over above 0.5, and at 0 the shaken curve lies below what cooling alone must
// melt. Nothing is interpolated. Assumes plenty of ice at 0 °C and ingredients at room temperature, shaken 10 to 15 s or
// stirred about 15 s. Doubt: 25 % of the figure either way, a judgement; no residuals were published.
// Checked: testdata/reference/dilution_curve.csv and rows CH32 and CH33 of chemistry_checks.csv. At least two public
// copies print the shaken curve with a plus before its square; CH33 would catch it.
const (
	curveFrom   = 15 // % vol
	curveTo     = 45
	curveSpread = 0.25

	stirredSquare, stirredSlope, stirredBase = -1.21, 1.246, 0.145
	shakenSquare, shakenSlope, shakenBase    = -1.567, 1.742, 0.203
)
