package ethanol

import (
	"math"

	"fairmeasure/journal/unit"
)

// sikes is the strength in % vol at 20 °C of one British (Sikes) degree of proof. Proof spirit weighs 12/13 of the same
// volume of water at 51 °F (published definition); put through OIML R 22 it is 57.15 % vol at 20 °C: see TestSikes.
const sikes = 0.5715

// FromUSProof reads American proof, twice the % vol (27 CFR 19.1: a proof gallon is 50 % vol). The rule is stated at
// 60 °F, which is 0.05 to 0.07 points less than at 20 °C; that difference is left out.
func FromUSProof(proof float64) unit.Strength { return unit.PercentVol(proof / 2) }

// USProof gives American proof.
func USProof(s unit.Strength) float64 { return float64(s) / 50 }

// FromSikes reads British proof as printed on old bottles: 70 degrees are 40 % vol.
func FromSikes(degrees float64) unit.Strength {
	return unit.Strength(math.Round(degrees * sikes * 100))
}

// Sikes gives British degrees of proof.
func Sikes(s unit.Strength) float64 { return s.Percent() / sikes }
