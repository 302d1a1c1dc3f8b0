import { type Pack, type PlanTolerance, pointerTo, valueAt, type written } from '@ferrule/engine';

const keys = ['between', 'nominal', 'at-least', 'at-most'] as const;

/** Where the limits of a tolerance are written: `/procedures/job/tolerances/gap-limits/between`. */
export function limitsAt({ pointer }: Pick<PlanTolerance, 'pointer'>, pack: Pack): string {
  const tolerance = valueAt(pack, pointer) as written.Tolerance | undefined;
  const key = keys.find((one) => tolerance?.[one] !== undefined);
  return key === undefined ? pointer : pointerTo(pointer, key);
}
