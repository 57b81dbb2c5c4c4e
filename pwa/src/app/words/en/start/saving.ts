/** What was saved, and taking it back. */
export const saving = {
  saved: 'Saved',
  /** The time of day. */
  savedAt: (time: string) => `Saved ${time}`,

  undo: 'Undo',
  /** Of several at once by their number. */
  undoes: (n: number) => (n === 1 ? saving.undo : n === 2 ? 'Undo both' : `Undo all ${n}`),

  undone: (n: number) => (n === 1 ? 'Undone. Saved' : `${n} undone. Saved`),
  notSaved: 'Not saved: this device would not write it down. Nothing was changed; try again.',
  save: 'Save',
  cancel: 'Put away',
};
