package badgerstore

import "golang.org/x/sys/windows"

// freeSpace asks how many bytes are free to us on the disk that dir is on.
func freeSpace(dir string) (uint64, error) {
	name, err := windows.UTF16PtrFromString(dir)
	if err != nil {
		return 0, err
	}
	var free uint64
	err = windows.GetDiskFreeSpaceEx(name, &free, nil, nil)
	return free, err
}

// syncDir has nothing to do: a folder cannot be synced here, and a rename is journalled by the file system.
func syncDir(string) error { return nil }

// inUse leaves the question to the database, which cannot open files that another process holds.
func inUse(string) (bool, error) { return false, nil }
