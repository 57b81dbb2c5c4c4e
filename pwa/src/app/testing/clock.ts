/** Every unit begins at the moment at which the stories do, whatever the machine's clock says; some then move it. */
import { afterEach, beforeEach, vi } from 'vitest';

beforeEach(() => void vi.setSystemTime('2026-05-15T22:04:00+02:00'));
afterEach(() => void vi.useRealTimers());
