import type { Pack, Plan } from '@ferrule/engine';

/** The places in `plan.entries` of what is judged, decides something, is worked by, or stands on the job card. */
export function usedEntries(plan: Plan): ReadonlySet<number> {
  const used = new Set<number>();
  for (const { entries } of [...plan.tolerances, ...plan.conditions, ...plan.selections])
    for (const entry of entries) used.add(entry);
  plan.entries.forEach((entry, index) => {
    const { column, judgedBy, decides, usedBy } = entry;
    if (column !== undefined || judgedBy.length + decides.length + usedBy.length > 0) used.add(index);
  });
  return used;
}

/** Whether a procedure gives a reading out, by itself or as part of a calculated value. */
export function isExported(pack: Pack, procedure: string, reading: string): boolean {
  const document = pack.procedures[procedure];
  const waiting = [...(document?.exports ?? [])];
  const seen = new Set<string>();
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    if (next === reading) return true;
    if (seen.has(next)) continue;
    seen.add(next);
    waiting.push(...textsIn(document?.derived?.[next]?.is).map((one) => one.split('@')[0] ?? ''));
  }
  return false;
}

function textsIn(expression: unknown): readonly string[] {
  if (typeof expression === 'string') return [expression];
  if (typeof expression !== 'object' || expression === null) return [];
  return Object.values(expression).flatMap(textsIn);
}
