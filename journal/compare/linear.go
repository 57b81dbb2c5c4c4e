package compare

import "math"

// square is a matrix of n rows and columns, row after row.
type square struct {
	n int
	a []float64
}

func newSquare(n int) square { return square{n, make([]float64, n*n)} }

func (m square) at(i, j int) float64     { return m.a[i*m.n+j] }
func (m square) set(i, j int, x float64) { m.a[i*m.n+j] = x }

// factor makes of a symmetric positive definite matrix its Cholesky factor, in the lower triangle. False when it is not
// positive definite, which with a proper prior only numbers that are none can cause.
func (m square) factor() bool {
	for j := range m.n {
		row := m.a[j*m.n : j*m.n+j]
		d := m.at(j, j)
		for _, x := range row {
			d -= x * x
		}
		if !(d > 0) || math.IsInf(d, 0) {
			return false
		}
		d = math.Sqrt(d)
		m.set(j, j, d)
		for i := j + 1; i < m.n; i++ {
			below := m.a[i*m.n : i*m.n+j]
			x := m.at(i, j)
			for k, y := range row {
				x -= below[k] * y
			}
			m.set(i, j, x/d)
		}
	}
	return true
}

// solve overwrites b by the solution, of a factor.
func (m square) solve(b []float64) {
	for i := range m.n {
		x := b[i]
		for k, y := range m.a[i*m.n : i*m.n+i] {
			x -= y * b[k]
		}
		b[i] = x / m.at(i, i)
	}
	for i := m.n - 1; i >= 0; i-- {
		x := b[i] / m.at(i, i)
		b[i] = x
		for k, y := range m.a[i*m.n : i*m.n+i] {
			b[k] -= y * x
		}
	}
}

// inverse of what a factor is of: the inverse of the factor, times itself turned over.
func (m square) inverse() square {
	low := newSquare(m.n)
	for j := range m.n {
		low.set(j, j, 1/m.at(j, j))
		for i := j + 1; i < m.n; i++ {
			var x float64
			for k := j; k < i; k++ {
				x -= m.at(i, k) * low.at(k, j)
			}
			low.set(i, j, x/m.at(i, i))
		}
	}
	out := newSquare(m.n)
	for k := range m.n {
		row := low.a[k*m.n : k*m.n+k+1]
		for i, x := range row {
			if x == 0 {
				continue
			}
			into := out.a[i*m.n : i*m.n+i+1]
			for j, y := range row[:i+1] {
				into[j] += x * y
			}
		}
	}
	for i := range m.n {
		for j := range i {
			out.set(j, i, out.at(i, j))
		}
	}
	return out
}

// logDet of what a factor is of.
func (m square) logDet() (sum float64) {
	for i := range m.n {
		sum += 2 * math.Log(m.at(i, i))
	}
	return sum
}

// term is one entry of a sparse vector.
type term struct {
	at int
	x  float64
}

// vector is sparse: a tasting touches few of the effects.
type vector []term

func (v vector) dot(dense []float64) (sum float64) {
	for _, t := range v {
		sum += t.x * dense[t.at]
	}
	return sum
}

// times gives the product with a symmetric matrix.
func (v vector) times(m square) []float64 {
	out := make([]float64, m.n)
	for _, t := range v {
		for i, x := range m.a[t.at*m.n : (t.at+1)*m.n] {
			out[i] += t.x * x
		}
	}
	return out
}

// within gives vᵀMv.
func (v vector) within(m square) (sum float64) {
	for _, t := range v {
		row := m.a[t.at*m.n : (t.at+1)*m.n]
		for _, u := range v {
			sum += t.x * u.x * row[u.at]
		}
	}
	return sum
}

// plus adds another vector times k; what cancels stays as nought.
func (v vector) plus(k float64, w vector) vector {
	out := append(vector{}, v...)
	for _, t := range w {
		found := false
		for i := range out {
			if out[i].at == t.at {
				out[i].x += k * t.x
				found = true
				break
			}
		}
		if !found {
			out = append(out, term{t.at, k * t.x})
		}
	}
	return out
}
