import { isExported, usedEntries } from '../used-readings.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const neverUsed: DiagnosticKind = {
  code: 'never-used',
  severity: 'warning',
  says: 'A reading is taken, and nothing judges it, calculates with it or puts it on the job card.',
  marks: 'key',
  examine: readingsNeverUsed,
};

interface Variants {
  readonly used: Set<string>;
  readonly unused: Set<string>;
}

function* readingsNeverUsed({ pack, plans, report }: Subject): Generator<Finding> {
  const found = new Map<string, Variants>();
  for (const plan of plans) {
    const used = usedEntries(plan);
    // One bore, or one performance, that uses it is enough: bores left out are another fault.
    const here = new Map<string, boolean>();
    plan.entries.forEach((entry, index) => {
      // A step that reads this and judges something else is a fault of its judging.
      const isMisjudged = entry.takers.some((taker) => {
        const node = plan.nodes[taker];
        return node?.node === 'step' && node.check?.check === 'tolerance' && node.entries.length === 1;
      });
      if (entry.entry === 'reading' && entry.takers.length > 0 && (!isMisjudged || used.has(index)))
        here.set(entry.pointer, used.has(index) || here.get(entry.pointer) === true);
    });
    for (const [pointer, isUsed] of here) {
      const variants = found.get(pointer) ?? { used: new Set(), unused: new Set() };
      (isUsed ? variants.used : variants.unused).add(plan.variant.id);
      found.set(pointer, variants);
    }
  }
  for (const [pointer, { used, unused }] of found) {
    const [, , procedure = '', , reading = ''] = pointer.split('/');
    const only = [...unused].filter((variant) => !used.has(variant));
    if (only.length === 0 || isExported(pack, procedure, reading)) continue;
    // A tolerance of it that no step judges by is told already.
    const tolerances = Object.entries(pack.procedures[procedure]?.tolerances ?? {});
    const isTold = tolerances.some(
      ([id, { of }]) => of.split('@')[0] === reading && !report.isUsed(`procedures/${procedure}`, id),
    );
    if (isTold) continue;
    yield used.size === 0
      ? {
          pointer,
          message: `${reading} is read, and nothing judges it, calculates with it or puts it on the job card.`,
          remedy: 'Judge it, use it, or say with when: which column of the job card it belongs to.',
        }
      : {
          pointer,
          message: `${reading} is judged or used for ${[...used].join(', ')}; for ${only.join(', ')} it is read and nothing uses it.`,
          remedy: 'Judge it for every variant, or read it only where it is judged.',
        };
  }
}
