/** What every screen, page and sheet says. */
export const deferral =
  "Ferrule never says that a job is safe. The engine maker's instructions, local codes and qualified people come first.";

/** The first sentence of a notice, for where the whole does not fit. */
export const firstSentence = (notice: string): string => /^.*?[.!?](?=\s|$)/s.exec(notice)?.[0] ?? notice;
