/** What every screen, page and sheet says. */
export { deferral } from '@ferrule/print/deferral';

/** The first sentence of a notice, for where the whole does not fit. */
export const firstSentence = (notice: string): string => /^.*?[.!?](?=\s|$)/s.exec(notice)?.[0] ?? notice;
