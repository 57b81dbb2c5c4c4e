//go:build unix

package server_test

import "syscall"

// allocated gives the bytes that a file takes on the disk.
func allocated(path string) (int64, error) {
	var st syscall.Stat_t
	err := syscall.Stat(path, &st)
	return st.Blocks * 512, err
}
