import type { Entry, Pack, Plan, StepNode } from '@ferrule/engine';
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
    yield* newNumbers(plan, entries);
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

/** A part is renewed and its new number never taken, so that where it is compared only the old part could conform. */
function* newNumbers(plan: Plan, entries: readonly Identity[]): Generator<Finding> {
  for (const node of plan.nodes) {
    if (node.node !== 'step' || node.act?.act !== 'renew') continue;
    const renewed = new Set(node.effects.map(({ cell }) => cell));
    for (const { part, partCell, acceptNew } of entries.filter(isFitted)) {
      if (!renewed.has(partCell) || acceptNew || writesDown(plan, node, partCell)) continue;
      yield {
        pointer: `${node.pointer}/renew`,
        message: `A new ${part} goes on here, and its number is not written down: where it is compared, only that of the old one would conform.`,
        remedy: `Add identify: { part: ${part}, as: found } to this step.`,
      };
    }
  }
}

/** Whether a step, or one of those that follow it in its block, writes the number of a part down. */
function writesDown(plan: Plan, step: StepNode, cell: number): boolean {
  for (let index = step.index; index >= 0; index = plan.nodes[index]?.next ?? -1) {
    const node = plan.nodes[index];
    const taken = node?.node === 'step' ? node.entries.map((one) => plan.entries[one]) : [];
    if (taken.some((one) => one?.entry === 'identity' && one.as === 'found' && one.partCell === cell))
      return true;
  }
  return false;
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
