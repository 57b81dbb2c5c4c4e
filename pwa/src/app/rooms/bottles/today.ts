import { localMoment } from '../../format.ts';

/** The calendar date here, as the journal keeps dates. */
export const today = (nowMs: number = Date.now()): string => localMoment(nowMs).slice(0, 10);
