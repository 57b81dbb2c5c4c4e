package line

import (
	"fairmeasure/journal"
	"fairmeasure/journal/unit"
)

// Parts gives a spec in parts its size: either one part, or all the parts together. Lines that are not in parts do not
// count towards the total. Zero means not given.
type Parts struct {
	PartUL, TotalUL unit.Volume
}

// Resolve gives every line in parts its volume. A part is a ratio: without a size it is refused, never taken as an ounce.
// With a total the volumes add up to exactly that. Lines not in parts stay as they are.
func Resolve(lines []Line, size Parts) ([]Line, error) {
	out := append([]Line(nil), lines...)
	var at []int
	var shares []Qty
	for i, l := range lines {
		if l.Unit == PartOf && l.Qty.Known {
			at, shares = append(at, i), append(shares, l.Qty.Value)
		}
	}
	if len(at) == 0 {
		return out, nil
	}
	switch {
	case size.PartUL == 0 && size.TotalUL == 0:
		return nil, journal.Refuse("needs_total_or_part", "total_ul", "needs total or part size: %d lines are in parts, and a part has no size of its own", len(at))
	case size.PartUL != 0 && size.TotalUL != 0:
		return nil, journal.Refuse("total_and_part", "total_ul", "expected a total or a part size, got both")
	case size.PartUL < 0 || size.PartUL > MaxVolume:
		return nil, journal.Refuse("part_size", "part_ul", "expected a part of more than 0 and at most %s ml, got %s ml", decimal(int64(MaxVolume), 3), decimal(int64(size.PartUL), 3))
	case size.TotalUL < 0 || size.TotalUL > MaxVolume:
		return nil, journal.Refuse("total_size", "total_ul", "expected a total of more than 0 and at most %s ml, got %s ml", decimal(int64(MaxVolume), 3), decimal(int64(size.TotalUL), 3))
	}
	var volumes []unit.Volume
	if size.TotalUL > 0 {
		var err error
		if volumes, err = Split(size.TotalUL, shares); err != nil {
			return nil, err
		}
	} else {
		for _, q := range shares {
			volumes = append(volumes, q.of(int64(size.PartUL)*1_000_000))
		}
	}
	for n, i := range at {
		if volumes[n] <= 0 || volumes[n] > MaxVolume {
			return nil, journal.Refuse("part_size", "part_ul", "expected more than 0 and at most %s ml in a line, got %s ml of %s", decimal(int64(MaxVolume), 3),
				decimal(int64(volumes[n]), 3), clip(out[i].Name))
		}
		v := unit.Exact(volumes[n])
		if out[i].assumed(AssumedAmount) {
			v.Low, v.High = v.Low*(100-aboutShare)/100, v.High*(100+aboutShare)/100
		}
		out[i].Volume = unit.Known(v)
	}
	return out, nil
}

// Split divides a total by shares so that the volumes add up to it exactly: a split base keeps the base. What is left
// over by rounding, a microlitre here and there, goes to the first of the shares with the largest remainders.
func Split(total unit.Volume, shares []Qty) ([]unit.Volume, error) {
	var sum Qty
	for _, q := range shares {
		if q <= 0 || q > maxQty || sum > maxQty {
			return nil, journal.Refuse("share", "qty", "expected shares above zero, got %s", decimal(int64(q), 6))
		}
		sum += q
	}
	if len(shares) == 0 || total < 0 || total > 10*MaxVolume {
		return nil, journal.Refuse("share", "total_ul", "expected a total to divide and shares to divide it by, got %s ml and %d shares", decimal(int64(total), 3), len(shares))
	}
	out := make([]unit.Volume, len(shares))
	left := make([]int64, len(shares))
	rest := total
	for i, q := range shares {
		// total at most 5e7 and q at most 1e12 make 5e19 at worst, so the product is taken apart at the sum.
		whole := mulDiv(int64(total), int64(q), int64(sum))
		out[i] = unit.Volume(whole)
		left[i] = remainder(int64(total), int64(q), int64(sum), whole)
		rest -= out[i]
	}
	for ; rest != 0; rest -= sign(rest) {
		best := -1
		for i := range left {
			if best < 0 || rest > 0 && left[i] > left[best] || rest < 0 && left[i] < left[best] {
				best = i
			}
		}
		out[best] += sign(rest)
		left[best] -= int64(sign(rest)) * int64(sum)
	}
	return out, nil
}

// remainder is a*b - q*c, which is small although its terms may not fit: they wrap, and the difference wraps back.
func remainder(a, b, c, q int64) int64 { return a*b - q*c }

func sign(v unit.Volume) unit.Volume {
	if v < 0 {
		return -1
	}
	return 1
}
