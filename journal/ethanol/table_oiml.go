package ethanol

// Density of mixtures of ethanol and water.
//
// Source: OIML R 22 (1975), International alcoholometric tables, general formula; the same coefficients stand in the
// Annex of Council Directive 76/766/EEC (OJ L 262, 27.9.1976, pp. 149-152).
// Units: density in kg/m3; p is the mass fraction of ethanol, 0 to 1; t is in degrees Celsius.
// Range: p from 0 to 1 and t from -20 to +40 where the mixture is liquid. It is a formula, so nothing is interpolated.
//
//	rho(p,t) = A1 + sum(k=2..12) Ak p^(k-1) + sum(k=1..6) Bk (t-20)^k + sum(i=1..5) sum(k=1..m[i]) C[i,k] p^k (t-20)^i
//
// Checked: the digits agree in three independent transcriptions, and the formula meets every row of
// testdata/reference/ethanol_water_checks.csv (CRC Handbook, US Bureau of Standards 1913, US Pharmacopeia 29, US Gauging
// Manual, Lange's Handbook, a dilution table): see TestWaterChecks. Two misprints are in circulation, C[1,1] with 1.69343
// and C[2,3] ending in 933; neither is used here.

// tableA is A1 to A12, by rising power of p from 0.
var tableA = [...]float64{
	998.20123,
	-192.9769495,
	389.1238958,
	-1668.103923,
	13522.15441,
	-88292.78388,
	306287.4042,
	-613838.1234,
	747017.2998,
	-547846.1354,
	223446.0334,
	-39032.85426,
}

// tableB is B1 to B6, by rising power of t-20 from 1.
var tableB = [...]float64{
	-0.20618513,
	-0.0052682542,
	3.6130013e-05,
	-3.8957702e-07,
	7.169354e-09,
	-9.9739231e-11,
}

// tableC is C[1] to C[5], by rising power of t-20 from 1, each by rising power of p from 1.
var tableC = [...][]float64{
	{
		0.1693443461530087,
		-10.46914743455169,
		71.96353469546523,
		-704.7478054272792,
		3924.090430035045,
		-12101.64659068747,
		22486.46550400788,
		-26055.62982188164,
		18523.73922069467,
		-7420.201433430137,
		1285.617841998974,
	},
	{
		-0.0119301300505701,
		0.2517399633803461,
		-2.170575700536993,
		13.53034988843029,
		-50.29988758547014,
		109.635566657757,
		-142.2753946421155,
		108.043594285623,
		-44.14153236817392,
		7.442971530188783,
	},
	{
		-0.0006802995733503803,
		0.01876837790289664,
		-0.2002561813734156,
		1.02299296671922,
		-2.895696483903638,
		4.810060584300675,
		-4.672147440794683,
		2.458043105903461,
		-0.5411227621436812,
	},
	{
		4.075376675622027e-06,
		-8.76305857347111e-06,
		6.515031360099368e-06,
		-1.51578483698721e-06,
	},
	{
		-2.788074354782409e-08,
		1.345612883493354e-08,
	},
}
