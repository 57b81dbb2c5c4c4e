// Package storetest is what every store must obey: one suite of tests that runs on each implementation, the one in
// memory included, and a random one against a model small enough to be believed by reading it.
//
// It checks what store.Store and store.Book promise to a caller in the same process. What happens when the process or
// the disk dies is checked beside each implementation.
package storetest

import (
	"testing"

	"fairmeasure/sync/store"
)

// Store is a store of journals and of the server's own records, as one implementation offers both.
type Store interface {
	store.Store
	store.Book
}

// Options say what an implementation can do beyond the interface.
type Options struct {
	// Reopen closes s and opens the same data again; nil where nothing outlives Close. What it gives is closed by the suite.
	Reopen func(tb testing.TB, s Store) Store
}

// Run runs the suite. open gives an empty store; the suite closes it.
func Run(t *testing.T, open func(testing.TB) Store, o Options) {
	for _, c := range []struct {
		name string
		test func(*testing.T, Store)
	}{
		{"AJournalBeginsEmpty", testBeginsEmpty},
		{"CommitsComeBackAsTheyWere", testRoundTrip},
		{"InvalidCommitsAreRefused", testInvalid},
		{"AStaleHeadIsErrMoved", testMoved},
		{"KnownGoesByNumberAndTag", testKnown},
		{"AnEntityAppearsOnceAtItsNewestCommit", testIndexMoves},
		{"PagesSplitInsideACommit", testPages},
		{"SeenComesAfterItsCommit", testSeen},
		{"LimitsGiveAtLeastOneEntity", testLimits},
		{"ErasedIsLeftOutOnlyFromTheStart", testErased},
		{"ValuesBelongToTheCaller", testOwnership},
		{"AViewIsOneState", testOneState},
		{"ManyCommittersOnOneJournal", testOneJournal},
		{"ManyCommittersOnSeveralJournals", testSeveralJournals},
		{"LargeCommits", testLarge},
		{"WhatIsTooLargeIsRefusedAlone", testTooLarge},
		{"PagesBoundRuns", testManyRuns},
		{"DropIsForGood", testDrop},
		{"WatchHints", testWatch},
		{"AnEndedContextDoesNothing", testContext},
		{"AnErrorOfTheCallerComesBack", testCallersError},
		{"ClosedIsErrClosed", testClosed},
		{"AViewUnderWayOutlivesClose", testCloseWaits},
		{"BookKeepsRecords", testBook},
		{"BookWritesAreWhole", testBookWhole},
		{"BookGoesInKeyOrder", testBookOrder},
		{"BookWritersDoNotLoseUpdates", testBookWriters},
		{"BookValuesBelongToTheCaller", testBookOwnership},
	} {
		t.Run(c.name, func(t *testing.T) { c.test(t, opened(t, open)) })
	}
	t.Run("AgreesWithTheModel", func(t *testing.T) { testModel(t, opened(t, open), o) })
	if o.Reopen != nil {
		t.Run("EverythingOutlivesClose", func(t *testing.T) { testReopen(t, open(t), o) })
	}
}

// opened gives a store that is closed at the end of the test; closing twice is allowed to be an error.
func opened(t *testing.T, open func(testing.TB) Store) Store {
	s := open(t)
	t.Cleanup(func() { _ = s.Close() })
	return s
}
