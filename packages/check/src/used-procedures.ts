import type { Procedure } from '@ferrule/engine';
import type { Subject } from './diagnostics/diagnostic-kind.ts';

/** The procedures that are a job or that something performs. Of any other it is said once that nothing uses it. */
export const usedProcedures = ({ pack, report }: Subject): readonly (readonly [name: string, Procedure])[] =>
  Object.entries(pack.procedures).filter(([name]) => report.isUsed('procedures', name));
