import type { Entry, Pack } from '@ferrule/engine';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const neverCompared: DiagnosticKind = {
  code: 'never-compared',
  severity: 'warning',
  says: 'A part that belongs to its bore or to a set is identified as found or as fitted, and never the other.',
  marks: 'value',
  examine: allNeverCompared,
};

type Identity = Extract<Entry, { entry: 'identity' }>;

function* allNeverCompared({ pack, plans }: Subject): Generator<Finding> {
  const identities = plans.map((plan) => ({
    plan,
    entries: plan.entries.flatMap((entry) =>
      entry.entry === 'identity' && entry.takers.length > 0 ? [entry] : [],
    ),
  }));
  const fitted = new Set(
    identities.flatMap(({ entries }) => entries.filter(isFitted).map((one) => one.part)),
  );
  for (const { plan, entries } of identities) {
    for (const entry of entries) {
      const { part } = entry;
      const pointer = `${plan.nodes[entry.takers[0] ?? 0]?.pointer}/identify`;
      const belongs = belonging(part, pack);
      if (entry.as === 'found' && belongs !== undefined && !fitted.has(part))
        yield {
          pointer,
          message: `${part} ${belongs}. Its number is written down here, and no step compares it when the part is fitted.`,
          remedy: `Add identify: { part: ${part}, as: fitted } where it goes back.`,
        };
      if (isFitted(entry) && !entries.some((one) => one.as === 'found' && one.partCell === entry.partCell))
        yield {
          severity: 'error',
          pointer,
          message: `${part} is compared here with the number that was found, and ${plan.procedure.id} never writes that number down.`,
          remedy: `Add identify: { part: ${part}, as: found } where it comes out.`,
        };
    }
  }
}

const isFitted = (entry: Identity): boolean => entry.as === 'fitted';

/** What a part belongs to, in words; undefined if any other of its kind may take its place. */
function belonging(id: string, { parts = {} }: Pack): string | undefined {
  if (parts[id]?.['tied-to-bore'] !== undefined) return 'goes back into its own bore';
  const isMatched =
    parts[id]?.['matched-with'] !== undefined ||
    Object.values(parts).some((one) => one['matched-with']?.includes(id));
  return isMatched ? 'belongs to a matched set' : undefined;
}
