/** 0 all is well, 1 what was examined has faults, 2 the call itself was wrong. */
export type ExitCode = 0 | 1 | 2;

/** Stopped from outside by an interrupt, as POSIX shells report signal 2. */
export const INTERRUPTED = 130;
