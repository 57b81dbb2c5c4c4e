package dilution

import (
	"math"

	"fairmeasure/journal"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/unit"
)

// Chill is a mix that meets ice of 0 °C, as a balance of energy: what the mix and the vessel give off melts ice, until the
// mix freezes no less than it melts, or until it is stopped. Clinging water, colder ice and a warm room are not in it.
type Chill struct {
	Parts []Dissolved
	// Start is the temperature of the mix and the vessel.
	Start ethanol.Celsius
	// Vessel is the heat capacity in J/K of what really cools of it: some 120 for a steel shaker, 100 for a mixing glass
	// (round numbers that fit the published curves; not measured).
	Vessel float64
	// Ice is the grams put in, Cooled the share of what is left of it that is brought to the end temperature.
	Ice, Cooled float64
	// Mixing counts the heat that alcohol gives off when melt water thins it. The model is right with it only.
	Mixing bool
	// Stop is where it is taken off the ice; unknown lets it go on to the balance.
	Stop unit.Maybe[ethanol.Celsius]
}

// Dissolved is a liquid with what is dissolved in it; sugar and acid in grams a litre.
type Dissolved struct {
	ML          float64
	Strength    ethanol.ByVolume
	Sugar, Acid float64
}

// Chilled is what came of it. Ratio is ml of water for one ml of mix.
type Chilled struct {
	MeltGrams float64
	End       ethanol.Celsius
	Ratio     Ratio
	ML        float64
	Strength  ethanol.ByVolume
}

// Constants of water and of what is dissolved: latent heat of ice in J/g, heat capacities in J/(g K), and the apparent
// volumes of dissolved sucrose and citric acid in ml/g (from the CRC Handbook's densities).
const (
	latentHeat    = 333.6
	waterCapacity = 4.19
	iceCapacity   = 2.1
	solidCapacity = 1.24
	sugarVolume   = 0.623
	acidVolume    = 0.597
	acidCold      = 0.102 // K for a gram of citric acid to 100 g of water
)

// masses are grams in a mix, and its millilitres.
type masses struct{ ethanol, water, sugar, acid, ml float64 }

func (d Dissolved) masses() (masses, error) {
	for _, v := range []float64{d.ML, float64(d.Strength), d.Sugar, d.Acid} {
		if !(v >= 0 && v < math.MaxFloat32) {
			return masses{}, journal.Refuse("out_of_range", "parts", "expected amounts from nought up")
		}
	}
	m := masses{sugar: d.ML * d.Sugar / 1000, acid: d.ML * d.Acid / 1000, ml: d.ML}
	liquid := d.ML - float64(sugarVolume*m.sugar) - float64(acidVolume*m.acid)
	if liquid < 0 {
		return masses{}, journal.Refuse("out_of_range", "parts", "so much sugar and acid do not go into %.1f ml", d.ML)
	}
	const trace = 1e-6 // less alcohol than that is none: no table resolves it
	if d.Strength < trace || d.ML == 0 {
		m.water = liquid * float64(ethanol.Water) / 1000
		return m, nil
	}
	m.ethanol = float64(ethanol.Pure) / 1000 * d.ML * float64(d.Strength)
	q := ethanol.ByVolume(d.ML * float64(d.Strength) / liquid)
	if q > 1 {
		return masses{}, journal.Refuse("out_of_range", "parts", "so much alcohol does not go beside the sugar")
	}
	p, err := q.Mass(ethanol.Legal)
	if err != nil {
		return masses{}, err
	}
	m.water = m.ethanol/float64(p) - m.ethanol
	return m, nil
}

func (c Chill) masses() (masses, error) {
	var all masses
	for _, p := range c.Parts {
		m, err := p.masses()
		if err != nil {
			return all, err
		}
		all.ethanol += m.ethanol
		all.water += m.water
		all.sugar += m.sugar
		all.acid += m.acid
		all.ml += m.ml
	}
	if !(all.ethanol+all.water > 0) {
		return all, journal.Refuse("empty", "parts", "expected something to chill")
	}
	return all, nil
}

// FreezingPoint gives where a mixture begins to freeze, by grams of what is in it. The depressions by ethanol, sugar and
// acid are added up, each at its own share of the water: an approximation, within half a degree or so.
func FreezingPoint(ethanolG, sugarG, acidG, waterG float64) ethanol.Celsius {
	if !(waterG > 0) {
		return ethanol.Celsius(-coldEthanol[len(coldEthanol)-1].is)
	}
	per := 100 / waterG
	return -ethanol.Celsius(along(coldEthanol[:], ethanolG*per) + along(coldSucrose[:], sugarG*per) + float64(acidCold*acidG*per))
}

// Freezes gives where such a liquid begins to freeze. False where it is no solution, or where no figure reaches: above 68 %
// of mass of alcohol in water, 42 % of sugar, or 20 g of acid to 100 g of water (chosen: three times the sharpest juice).
func (d Dissolved) Freezes() (ethanol.Celsius, bool) {
	m, err := d.masses()
	if err != nil || !(m.water > 0) {
		return 0, false
	}
	reaches := func(table []point, grams float64) bool { return 100*grams <= m.water*table[len(table)-1].at }
	if !reaches(coldEthanol[:], m.ethanol) || !reaches(coldSucrose[:], m.sugar) || m.acid > 0.2*m.water {
		return 0, false
	}
	return FreezingPoint(m.ethanol, m.sugar, m.acid, m.water), true
}

func along(table []point, x float64) float64 {
	i := 1
	for i < len(table)-1 && table[i].at < x {
		i++
	}
	a, b := table[i-1], table[i]
	return a.is + float64((b.is-a.is)*(x-a.at)/(b.at-a.at))
}

// byMass gives % of mass of ethanol in ethanol and water.
func byMass(e, w float64) float64 { return 100 * e / (e + w) }

func (m masses) capacity() float64 {
	return float64((m.ethanol+m.water)*along(heatCapacity[:], byMass(m.ethanol, m.water))) + float64(solidCapacity*(m.sugar+m.acid))
}

// Run works it out.
func (c Chill) Run() (Chilled, error) {
	m, err := c.masses()
	if err != nil {
		return Chilled{}, err
	}
	switch {
	case !(c.Start >= 0 && c.Start <= 60):
		return Chilled{}, journal.Refuse("out_of_range", "start", "expected a mix of 0 to 60 °C")
	case !(c.Vessel >= 0 && c.Ice >= 0 && c.Cooled >= 0 && c.Cooled <= 1):
		return Chilled{}, journal.Refuse("out_of_range", "vessel", "expected a vessel and ice from nought up")
	}
	capacity := m.capacity() + c.Vessel
	end := func(melt float64) ethanol.Celsius {
		if c.Stop.Known {
			return c.Stop.Value
		}
		return FreezingPoint(m.ethanol, m.sugar, m.acid, m.water+melt)
	}
	// What is given off less what the melting takes: it falls as more melts.
	balance := func(melt float64) float64 {
		t := float64(end(melt))
		heat := float64(capacity*(float64(c.Start)-t)) + float64(iceCapacity*c.Cooled*max(c.Ice-melt, 0)*-t)
		if c.Mixing {
			before, after := byMass(m.ethanol, m.water), byMass(m.ethanol, m.water+melt)
			heat += float64((m.ethanol+m.water+melt)*along(heatOfMixing[:], after)) - float64((m.ethanol+m.water)*along(heatOfMixing[:], before))
		}
		return heat - float64(melt*(latentHeat+float64(waterCapacity*t)))
	}
	low, high := 0.0, 5*(m.ethanol+m.water+m.sugar)+c.Vessel
	if balance(low) < 0 {
		return Chilled{}, journal.Refuse("out_of_range", "stop", "it is colder than that already")
	}
	for range 100 {
		if mid := (low + high) / 2; balance(mid) > 0 {
			low = mid
		} else {
			high = mid
		}
	}
	melt := (low + high) / 2
	ml, strength := ethanol.MixMasses(m.ethanol, m.water+melt)
	whole := ml + float64(sugarVolume*m.sugar) + float64(acidVolume*m.acid)
	return Chilled{
		MeltGrams: melt, End: end(melt), Ratio: Ratio(melt / (float64(ethanol.Water) / 1000) / m.ml),
		ML: whole, Strength: ethanol.ByVolume(float64(strength) * ml / whole),
	}, nil
}

// LeastMelt gives the grams of ice of 0 °C that must have melted for a mix to be that cold: a smaller amount that was
// entered is questioned. Ice from a freezer can cool with less.
func (c Chill) LeastMelt(end ethanol.Celsius) (float64, error) {
	m, err := c.masses()
	if err != nil {
		return 0, err
	}
	return max(0, m.capacity()*float64(c.Start-end)/latentHeat), nil
}

// Grams gives what such a liquid weighs. It is refused where it is no solution.
func (d Dissolved) Grams() (float64, error) {
	m, err := d.masses()
	return m.ethanol + m.water + m.sugar + m.acid, err
}
