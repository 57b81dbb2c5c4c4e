import type { Id } from '../shared/core.ts';

const digits = '0123456789ABCDEFGHJKMNPQRSTVWXYZ'; // Crockford base 32: no I, L, O, U

/** 26 characters: 48 bits of milliseconds, then 80 random bits. Ids sort by the time they were made. */
export function newId(nowMs: number = Date.now(), random: Uint8Array = crypto.getRandomValues(new Uint8Array(10))): Id {
  let id = '';
  for (let left = nowMs, i = 0; i < 10; i++, left = Math.floor(left / 32)) id = (digits[left % 32] ?? '') + id;
  let bits = 0;
  let held = 0;
  for (const byte of random) {
    held = (held << 8) | byte;
    bits += 8;
    while (bits >= 5) {
      bits -= 5;
      id += digits[(held >> bits) & 31] ?? '';
    }
    held &= (1 << bits) - 1;
  }
  return id;
}
