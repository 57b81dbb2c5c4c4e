//go:build linux || darwin || freebsd

package badgerstore

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// freeSpace asks how many bytes are free to us on the disk that dir is on.
func freeSpace(dir string) (uint64, error) {
	var s unix.Statfs_t
	if err := unix.Statfs(dir, &s); err != nil {
		return 0, err
	}
	return uint64(max(int64(s.Bavail), 0)) * uint64(s.Bsize), nil
}

// syncDir makes the names in a folder durable.
func syncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

// inUse tells whether another process has the folder open: the database holds a lock on the folder itself.
func inUse(dir string) (bool, error) {
	d, err := os.Open(dir)
	if err != nil {
		return false, err
	}
	defer d.Close() // which gives the lock up again
	err = unix.Flock(int(d.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if errors.Is(err, unix.EWOULDBLOCK) {
		return true, nil
	}
	return false, err
}
