import { inWords, type PlanTolerance, writeFormula } from '@ferrule/engine';

/** How the value of a tolerance is worked out from readings, in words; undefined where the reading itself is judged. */
export function formulaOf(tolerance: PlanTolerance): string | undefined {
  if (tolerance.value.node === 'name' && tolerance.elapsed === undefined) return undefined;
  const bore = /@(\d+)$/.exec(tolerance.name)?.[1];
  return writeFormula(tolerance.value, (name) => {
    const other = /@(\d+)$/.exec(name)?.[1];
    const words = inWords(name);
    return other === undefined || other === bore ? words : `${words} of bore ${other}`;
  });
}
