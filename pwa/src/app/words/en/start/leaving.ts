/** Taking it along, and leaving. */
export const leaving = {
  exporting: {
    title: 'Export',
  },

  /** Keeper: the end of an account. */
  deleting: {
    title: 'Delete everything',
  },

  leaving: {
    erased: 'Erased',
    erasedText: 'Nothing of the journal is left on this device.',
    erasedUntold: 'The server did not answer, so it may still list this device. Remove it there from another device.',
    again: 'Begin again',
  },
};
