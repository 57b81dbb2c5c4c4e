package badgerstore

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"time"

	"github.com/dgraph-io/badger/v4"

	"fairmeasure/sync/store"
)

// What goes wrong in the database is told in words of which none comes out of a journal: its own errors print keys and
// whole values now and then, and a reason is logged, shown to the operator and asked for by anybody.

// harmless are errors whose text is always the same.
var harmless = []error{
	badger.ErrBlockedWrites, badger.ErrConflict, badger.ErrDBClosed, badger.ErrDiscardedTxn, badger.ErrEncryptionKeyMismatch,
	badger.ErrInvalidDataKeyID, badger.ErrInvalidDump, badger.ErrNoRewrite, badger.ErrRejected, badger.ErrTruncateNeeded, badger.ErrTxnTooBig,
	errEncoding, store.ErrDamaged, store.ErrErased, store.ErrMoved, store.ErrNoSpace, store.ErrTooLarge,
}

// plainly says what kind of error it is, and on a file's error which file.
func plainly(err error) string {
	var file *fs.PathError
	var system syscall.Errno
	switch {
	case err == nil:
		return "nothing"
	case errors.As(err, &file) && errors.As(file.Err, &system):
		return file.Op + " " + filepath.Base(file.Path) + ": " + system.Error()
	case errors.As(err, &system):
		return system.Error()
	}
	for _, known := range harmless {
		if errors.Is(err, known) {
			return known.Error()
		}
	}
	for next := errors.Unwrap(err); next != nil; next = errors.Unwrap(err) {
		err = next
	}
	return fmt.Sprintf("an error of the kind %T", err)
}

// brokeOff says of a panic what kind it is and where in the database it was.
func brokeOff(p any) string {
	what := fmt.Sprintf("a panic of the kind %T", p)
	if err, ok := p.(error); ok {
		what = plainly(err)
		if r, ok := p.(runtime.Error); ok {
			what, _, _ = strings.Cut(r.Error(), "[") // behind the bracket are numbers
		}
	}
	callers := make([]uintptr, 32)
	frames := runtime.CallersFrames(callers[:runtime.Callers(3, callers)])
	for {
		f, more := frames.Next()
		if !strings.HasPrefix(f.Function, "runtime.") && f.Function != "" {
			return fmt.Sprintf("%s, in %s:%d", strings.TrimSpace(what), filepath.Base(f.File), f.Line)
		}
		if !more {
			return what
		}
	}
}

// quoted makes the arguments of the database's own log lines fit to be logged: numbers, names of files and kinds of
// errors stay, bytes and whole structures do not.
func quoted(args []any) []any {
	out := make([]any, len(args))
	for i, a := range args {
		switch a := a.(type) {
		case error:
			out[i] = fmt.Errorf("%s", plainly(a))
		case string, bool, int, int8, int16, int32, int64, uint, uint16, uint32, uint64, float32, float64, time.Duration:
			out[i] = a
		default:
			out[i] = fmt.Sprintf("(%T)", a)
		}
	}
	return out
}
