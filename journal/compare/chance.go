package compare

import "math"

// The distributions, for whole numbers of degrees of freedom, by their finite series (Abramowitz and Stegun, Handbook of
// Mathematical Functions, 1964, 26.4.4, 26.4.5, 26.7.3, 26.7.4: from memory). The checks hold them against SciPy and R.

// Normal is the standard normal distribution function.
func Normal(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }

func normalDensity(x float64) float64 { return math.Exp(-x*x/2) / math.Sqrt(2*math.Pi) }

// NormalQuantile is its inverse.
func NormalQuantile(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }

// Student is the distribution function of Student's t with so many degrees of freedom.
func Student(x float64, degrees int) float64 {
	theta := math.Atan(x / math.Sqrt(float64(degrees)))
	sin, cos := math.Sincos(theta)
	if degrees == 1 {
		return 0.5 + theta/math.Pi
	}
	sum, each := 0.0, 1.0
	first := 2 // of the even series 1·3·5… over 2·4·6…
	if degrees%2 == 1 {
		each, first = cos, 3 // of the odd one 2·4·6… over 3·5·7…
	}
	for k := first; ; k += 2 {
		sum += each
		if k > degrees-2 {
			break
		}
		each *= cos * cos * float64(k-1) / float64(k)
	}
	if degrees%2 == 1 {
		return 0.5 + (theta+sin*sum)/math.Pi
	}
	return 0.5 + sin*sum/2
}

// StudentQuantile is the inverse of Student, by halving.
func StudentQuantile(p float64, degrees int) float64 {
	if p < 0.5 {
		return -StudentQuantile(1-p, degrees)
	}
	low, high := 0.0, 1.0
	for Student(high, degrees) < p && high < 1e12 {
		low, high = high, 2*high
	}
	for range 200 {
		mid := (low + high) / 2
		if mid == low || mid == high {
			break
		}
		if Student(mid, degrees) < p {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// chiSquareAbove is the chance of at least x by chi-square with so many degrees of freedom.
func chiSquareAbove(x float64, degrees int) float64 {
	if x <= 0 {
		return 1
	}
	h := x / 2
	if degrees%2 == 0 {
		sum, each := 0.0, 1.0
		for i := 1; i <= degrees/2; i++ {
			sum += each
			each *= h / float64(i)
		}
		return math.Exp(-h) * sum
	}
	sum, each := 0.0, math.Sqrt(h)/math.Gamma(1.5)
	for i := 1; i <= (degrees-1)/2; i++ {
		sum += each
		each *= h / (float64(i) + 0.5)
	}
	return math.Erfc(math.Sqrt(h)) + math.Exp(-h)*sum
}

// Binomial is the chance of exactly k of n, each with chance p.
func Binomial(k, n int, p float64) float64 {
	if k < 0 || k > n {
		return 0
	}
	a, _ := math.Lgamma(float64(n + 1))
	b, _ := math.Lgamma(float64(k + 1))
	c, _ := math.Lgamma(float64(n - k + 1))
	return math.Exp(a - b - c + float64(k)*math.Log(p) + float64(n-k)*math.Log1p(-p))
}

// atLeast is the chance of k or more of n.
func atLeast(k, n int, p float64) (sum float64) {
	for ; k <= n; k++ {
		sum += Binomial(k, n, p)
	}
	return min(sum, 1)
}
