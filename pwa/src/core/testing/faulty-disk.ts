/** Faults for fake-indexeddb: every put and delete of a change is a point at which it can fail (`view` is only a picture). */

export type Fault =
  /** The request throws, as a closing database does. */
  | 'throws'
  /** The browser aborts the transaction: quota, eviction, a dying disk. */
  | 'aborts'
  /** No event ever comes, and nothing was written. */
  | 'silent abort'
  /** No event ever comes, and all was written: the unclear case. */
  | 'silent commit';

export const faults: readonly Fault[] = ['throws', 'aborts', 'silent abort', 'silent commit'];

/** Runs `work` with the fault at the `point`-th put or delete (0 first); a point past the last one never fires. */
export async function withFault<T>(
  point: number,
  fault: Fault,
  work: () => Promise<T>,
): Promise<{ result: T; fired: boolean }> {
  const store = IDBObjectStore.prototype;
  const own = { put: store.put, delete: store.delete };
  let seen = 0;
  let fired = false;
  const faulty = <A extends unknown[]>(run: (this: IDBObjectStore, ...args: A) => IDBRequest) =>
    function (this: IDBObjectStore, ...args: A): never {
      if (this.name === 'view' || seen++ !== point) return run.apply(this, args) as never;
      fired = true;
      if (fault === 'throws') throw new DOMException('the database is closing', 'InvalidStateError');
      const request = run.apply(this, args);
      const tx = this.transaction;
      if (fault !== 'aborts') {
        tx.oncomplete = null;
        tx.onabort = null;
      }
      if (fault !== 'silent commit') tx.abort();
      return request as never;
    };
  store.put = faulty<[unknown, IDBValidKey?]>(own.put);
  store.delete = faulty<[IDBValidKey | IDBKeyRange]>(own.delete);
  try {
    return { result: await work(), fired };
  } finally {
    Object.assign(store, own);
  }
}
