package badgerstore

import (
	"bufio"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync/atomic"
)

// guard knows how much space is free and whether that is too little to write. On a full disk the database's mapped files
// would end the process with a bus error, so writes must stop before.
type guard struct {
	least   uint64
	measure func() (uint64, error)
	free    atomic.Uint64
}

// look measures. When that fails the last measurement stands.
func (g *guard) look() error {
	free, err := g.measure()
	if err != nil {
		return err
	}
	g.free.Store(free)
	return nil
}

func (g *guard) low() bool { return g.free.Load() < g.least }

// ballastFile may be deleted by an operator at any time.
const ballastFile = "ballast"

// layBallast writes the ballast file if there should be one and there is space for it twice over.
func (s *Store) layBallast() error {
	size := s.o.BallastBytes
	if size <= 0 || s.space.free.Load() < s.o.MinFreeBytes+2*uint64(size) {
		return nil
	}
	name := filepath.Join(s.o.Dir, ballastFile)
	if _, err := os.Stat(name); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	// Random bytes: zeros would take no space on a file system that compresses.
	if err := writeFile(name, func(w io.Writer) error {
		_, err := io.CopyN(w, rand.Reader, size)
		return err
	}); err != nil {
		return fmt.Errorf("badgerstore: writing the ballast: %w", err)
	}
	return s.space.look()
}

// writeFile writes a file whole or not at all: under another name first, synced, then renamed.
func writeFile(name string, write func(io.Writer) error) error {
	f, err := os.CreateTemp(filepath.Dir(name), filepath.Base(name)+".*.part")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name()) // it is not there any more when all went well
	buffered := bufio.NewWriter(f)
	err = write(buffered)
	if err == nil {
		err = buffered.Flush()
	}
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		return err
	}
	if err := os.Rename(f.Name(), name); err != nil {
		return err
	}
	return syncDir(filepath.Dir(name))
}
