package schema

import "sort"

// inOrder sorts by a comparison and leaves equals in their places. slices.SortFunc and its kin are compiled anew for every
// type, some 20 kB each in the browser; this is compiled once.
func inOrder[T any](s []T, compare func(a, b T) int) {
	sort.Stable(swaps{
		n:    len(s),
		less: func(i, j int) bool { return compare(s[i], s[j]) < 0 },
		swap: func(i, j int) { s[i], s[j] = s[j], s[i] },
	})
}

type swaps struct {
	n    int
	less func(i, j int) bool
	swap func(i, j int)
}

func (s swaps) Len() int           { return s.n }
func (s swaps) Less(i, j int) bool { return s.less(i, j) }
func (s swaps) Swap(i, j int)      { s.swap(i, j) }
