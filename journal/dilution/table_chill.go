package dilution

// What chilling needs to know of mixtures, each as steps of a straight-line interpolation; beyond its last row a table goes
// on along its last line.

// point is one row of a table.
type point struct{ at, is float64 }

// coldEthanol is the depression of the freezing point in K by grams of ethanol to 100 g of water.
//
// Source: CRC Handbook of Chemistry and Physics, 102nd ed. (2021), Concentrative properties of aqueous solutions. Checked:
// equal to the rows of testdata/reference/freezing_ethanol.csv that are marked for use.
var coldEthanol = [...]point{
	{0, 0}, {0.503, 0.2}, {1.01, 0.4}, {2.041, 0.81}, {3.093, 1.23}, {4.167, 1.65}, {5.263, 2.09}, {6.383, 2.54},
	{7.527, 2.99}, {8.696, 3.47}, {9.89, 3.96}, {11.111, 4.47}, {12.36, 5}, {13.636, 5.56}, {14.943, 6.13},
	{16.279, 6.73}, {17.647, 7.36}, {19.048, 8.01}, {20.482, 8.69}, {21.951, 9.4}, {23.457, 10.14}, {25, 10.92},
	{28.205, 12.6}, {31.579, 14.47}, {35.135, 16.41}, {38.889, 18.43}, {42.857, 20.47}, {47.059, 22.44},
	{51.515, 24.27}, {56.25, 25.98}, {61.29, 27.62}, {66.667, 29.26}, {72.414, 30.98}, {78.571, 32.68}, {85.185, 34.36},
	{92.308, 36.04}, {100, 37.67}, {108.333, 39.2}, {117.391, 40.65}, {127.273, 42.06}, {138.095, 43.49}, {150, 44.93},
	{163.158, 46.28}, {177.778, 47.52}, {194.118, 48.64}, {212.5, 49.52},
}

// coldSucrose is the same of sucrose.
//
// Source: the same table of the same book. Checked: equal to testdata/reference/sucrose_brix_density.csv.
var coldSucrose = [...]point{
	{0, 0}, {0.503, 0.03}, {1.01, 0.06}, {2.041, 0.11}, {3.093, 0.17}, {4.167, 0.23}, {5.263, 0.29}, {6.383, 0.35},
	{7.527, 0.42}, {8.696, 0.49}, {9.89, 0.55}, {11.111, 0.63}, {12.36, 0.7}, {13.636, 0.77}, {14.943, 0.85},
	{16.279, 0.93}, {17.647, 1.01}, {19.048, 1.1}, {20.482, 1.19}, {21.951, 1.27}, {23.457, 1.37}, {25, 1.47},
	{28.205, 1.67}, {31.579, 1.89}, {35.135, 2.12}, {38.889, 2.37}, {42.857, 2.64}, {47.059, 2.94}, {51.515, 3.27},
	{56.25, 3.63}, {61.29, 4.02}, {66.667, 4.45}, {72.414, 4.93},
}

// heatCapacity is J/(g K) of ethanol and water by % of mass, the mean of -5 to 20 °C.
//
// Source: Melinder, Properties of Secondary Working Fluids (IIR, 2010), its polynomial for ethanol and water. Checked: equal
// to testdata/reference/ethanol_thermal.csv.
var heatCapacity = [...]point{
	{0, 4.198}, {2.5, 4.251}, {5, 4.298}, {7.5, 4.336}, {10, 4.364}, {12.5, 4.379}, {15, 4.383}, {17.5, 4.374},
	{20, 4.354}, {22.5, 4.323}, {25, 4.284}, {27.5, 4.237}, {30, 4.184}, {32.5, 4.127}, {35, 4.068}, {37.5, 4.007},
	{40, 3.946}, {42.5, 3.886}, {45, 3.827}, {47.5, 3.768}, {50, 3.709}, {55, 3.58}, {60, 3.416},
}

// heatOfMixing is J given off by a gram of ethanol and water at 0 °C, by % of mass.
//
// Source: excess enthalpies at 25 °C from memory, brought to 0 °C with the heat capacities; doubt 15 % of the term. Checked:
// equal to testdata/reference/ethanol_thermal.csv.
var heatOfMixing = [...]point{
	{0, 0}, {2.5, 7.5}, {5, 15}, {7.5, 22}, {10, 28.4}, {12.5, 34.2}, {15, 38.7}, {17.5, 42.8}, {20, 45.4},
	{22.5, 47.5}, {25, 48.5}, {27.5, 49}, {30, 49}, {32.5, 48.5}, {35, 47.5}, {37.5, 46.2}, {40, 44.7}, {42.5, 43},
	{45, 41.3}, {47.5, 39.5}, {50, 37.7}, {55, 33.8}, {60, 29.1},
}
