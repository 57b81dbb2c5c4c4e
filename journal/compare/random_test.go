package compare

// normal draws from the standard normal distribution.
func (s *Seeds) normal() float64 { return NormalQuantile((float64(s.Next()>>11) + 0.5) / (1 << 53)) }
