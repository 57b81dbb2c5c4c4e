package badgerstore

import (
	"cmp"
	"fmt"
	"log/slog"

	"github.com/dgraph-io/badger/v4"
	badgeroptions "github.com/dgraph-io/badger/v4/options"
)

// Options say where a store is and what it may use. Only Dir must be set.
type Options struct {
	// Dir is the folder of the database. It is made if it is not there; nothing else should be kept in it.
	Dir string

	// EncryptionKey, 32 bytes, encrypts everything on disk. A store begun without one cannot be given one later, nor the
	// other way round: export and import into a new folder. The store keeps no copy anywhere on disk.
	EncryptionKey []byte

	// MinFreeBytes is the free space below which writes are refused while reads go on: a full disk would end the process
	// in the middle of a write. 0 means the larger of 256 MiB and six times MemTableBytes.
	MinFreeBytes uint64

	// BallastBytes is the size of a file that takes up space for nothing, so that on a full disk there is something that
	// may be deleted at once. It is written when it is missing and there is ample space for it. 0 means none.
	BallastBytes int64

	// MemTableBytes is the size of the table in memory that takes the newest writes; one transaction takes 15 % of it,
	// so it also bounds a commit. 0 means 16 MiB, in which the largest commit of the protocol fits twice.
	MemTableBytes int64

	// QuickCheck leaves out of the start-up check what reads the whole database, the count of every journal's keys: for
	// stores so large that a start would take too long. Old damage to a table is then not noticed.
	QuickCheck bool

	// FreeSpace measures the free bytes of the disk a folder is on; nil asks the operating system.
	FreeSpace func(dir string) (uint64, error)

	// Logger takes what the database has to say; nil for silence.
	Logger *slog.Logger
}

const (
	defaultMemTableBytes = 16 << 20
	leastFreeBytes       = 256 << 20
	valueThreshold       = 256 << 10 // values below it stay beside their keys, so the value log stays empty
)

func (o Options) withDefaults() (Options, error) {
	if o.Dir == "" {
		return o, fmt.Errorf("badgerstore: no folder given")
	}
	if n := len(o.EncryptionKey); n != 0 && n != 32 {
		return o, fmt.Errorf("badgerstore: an encryption key is 32 bytes, not %d", n)
	}
	o.MemTableBytes = cmp.Or(o.MemTableBytes, defaultMemTableBytes)
	if o.MinFreeBytes == 0 {
		o.MinFreeBytes = max(leastFreeBytes, 6*uint64(o.MemTableBytes))
	}
	if o.FreeSpace == nil {
		o.FreeSpace = freeSpace
	}
	if o.Logger == nil {
		o.Logger = slog.New(slog.DiscardHandler)
	}
	return o, nil
}

// badger gives the database's own options. A household's journals are small: what is chosen here keeps memory and files
// small, and the numbers are measured ones (a burst of 600,000 writes, a reopened store of 100,000).
func (o Options) badger() badger.Options {
	return badger.DefaultOptions(o.Dir).
		WithSyncWrites(true).
		WithMemTableSize(o.MemTableBytes).
		WithNumMemtables(2).
		WithNumLevelZeroTables(2).
		WithNumLevelZeroTablesStall(6).
		WithNumCompactors(2).
		WithBlockCacheSize(16 << 20).
		WithIndexCacheSize(8 << 20). // must not be 0 when encrypted
		WithValueLogFileSize(64 << 20).
		WithValueThreshold(min(valueThreshold, o.MemTableBytes*15/100)).
		WithDetectConflicts(true).
		// A damaged block then reads as if its keys were not there, so counting keys finds it. Checking whole tables on
		// opening would end the process: the database does it in a goroutine of its own, and panics there.
		WithChecksumVerificationMode(badgeroptions.OnBlockRead).
		WithMetricsEnabled(false).
		WithEncryptionKey(o.EncryptionKey).
		WithLogger(logger{o.Logger})
}

// logger hands the database's words to slog. Its everyday news is of interest to nobody but who debugs it.
type logger struct{ to *slog.Logger }

func (l logger) Errorf(format string, args ...any)   { l.to.Error(line(format, args)) }
func (l logger) Warningf(format string, args ...any) { l.to.Warn(line(format, args)) }
func (l logger) Infof(format string, args ...any)    { l.to.Debug(line(format, args)) }
func (l logger) Debugf(format string, args ...any)   { l.to.Debug(line(format, args)) }

func line(format string, args []any) string {
	text := fmt.Sprintf(format, quoted(args)...)
	for len(text) > 0 && text[len(text)-1] == '\n' {
		text = text[:len(text)-1]
	}
	return "badger: " + text
}
