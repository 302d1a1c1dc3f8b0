import type { Pack } from '@ferrule/engine';

/** The variants that a procedure is written for. */
export const jobVariants = ({ procedures, variants }: Pack, procedure: string): readonly string[] =>
  procedures[procedure]?.variants ?? Object.keys(variants);
