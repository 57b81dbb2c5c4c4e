package balance

// Room that dissolved sugar and acid take in water.
//
// Source: CRC Handbook of Chemistry and Physics, 102nd ed. (2021), Concentrative properties of aqueous solutions, as
// apparent volumes at 20 °C: sucrose 0.617 ml/g at 10 % of mass to 0.628 at 60 %, citric acid 0.595 to 0.600.
// Units: ml/g. Range: 0 to 60 % sucrose; the middle serves for all of it. Checked: a syrup of 615 g/L weighs 1,230 g/L,
// see TestContractedSyrup.
const (
	sugarRoom = 0.623
	acidRoom  = 0.597
)
