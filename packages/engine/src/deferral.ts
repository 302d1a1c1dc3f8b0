/** What every screen, page, sheet and document says. */
export const deferral =
  "Ferrule never says that a job is safe. The engine maker's instructions, local codes and qualified people come first.";
