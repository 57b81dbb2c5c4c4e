package ethanol

// Freezing points of mixtures of ethanol and water: where the density formula ends below 0 degrees Celsius.
//
// Source: CRC Handbook of Chemistry and Physics, 102nd ed. (2021), Concentrative properties of aqueous solutions.
// Units: % of mass; degrees Celsius. Range: 0 to 32 % of mass, where the density formula's own limit of -20 is passed.
// Interpolation: straight between rows. Checked: equal to testdata/reference/freezing_ethanol.csv, whose second table
// (Lange's Handbook, 15th ed., older) is warmer by up to 1.6 K in this range.

var tableFreezing = [...]struct{ massPercent, celsius float64 }{
	{0, 0},
	{0.5, -0.2},
	{1, -0.4},
	{2, -0.81},
	{3, -1.23},
	{4, -1.65},
	{5, -2.09},
	{6, -2.54},
	{7, -2.99},
	{8, -3.47},
	{9, -3.96},
	{10, -4.47},
	{11, -5},
	{12, -5.56},
	{13, -6.13},
	{14, -6.73},
	{15, -7.36},
	{16, -8.01},
	{17, -8.69},
	{18, -9.4},
	{19, -10.14},
	{20, -10.92},
	{22, -12.6},
	{24, -14.47},
	{26, -16.41},
	{28, -18.43},
	{30, -20.47},
	{32, -22.44},
}
