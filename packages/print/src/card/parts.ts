import { type Job, PART, type Pack, type Plan } from '@ferrule/engine';
import { partOf } from '../telling/titles.ts';
import { each, madeBy } from './card-facts.ts';
import type { CardPart, CardRenewed } from './generated/card-document.ts';
import { boreIn } from './readings.ts';

/** Parts with a serial number: what was found at each place, and what is there now. */
export function partsOf(plan: Plan, job: Job): readonly CardPart[] {
  const places = new Map<string, { -readonly [K in keyof CardPart]: CardPart[K] }>();
  plan.entries.forEach((entry, index) => {
    const taken = job.taken[index];
    if (entry.entry !== 'identity' || taken === undefined) return;
    // A rework asks for the number again where it takes the part out, and else leaves it where it is.
    const isOut = job.control.bytes[entry.partCell] === PART.removed;
    if (entry.as === 'fitted' && isOut) return;
    const { part, bore } = partOf(entry);
    const one = places.get(entry.place) ?? {
      part,
      ...boreIn(bore === undefined ? entry.bore : Number(bore)),
    };
    places.set(entry.place, one);
    if (entry.as === 'found') one.found = taken.text;
    else {
      one.fitted = taken.text;
      const fact = job.facts.find(({ seq }) => seq === taken.seq)?.fact;
      if (fact?.kind === 'identified' && fact.part !== 'found') one.stands = fact.part;
    }
  });
  return [...places.values()].sort(byPartAndBore);
}

const byPartAndBore = (a: CardPart, b: CardPart): number =>
  a.part === b.part ? (a.bore ?? 0) - (b.bore ?? 0) : 0;

/** Parts without a number that steps have renewed, the last time at each place. */
export function renewedOf(plan: Plan, pack: Pack, job: Job): readonly CardRenewed[] {
  const numbered = new Set(plan.entries.flatMap((one) => (one.entry === 'identity' ? [one.place] : [])));
  const byPath = new Map(plan.nodes.map((node) => [node.path, node]));
  const last = new Map<string, CardRenewed>();
  each(job.facts, 'done', (fact, envelope) => {
    const node = byPath.get(fact.step);
    if (node?.node !== 'step' || node.act?.act !== 'renew') return undefined;
    for (const effect of node.effects) {
      const cell = plan.cells[effect.cell];
      const isNew = 'to' in effect && effect.to === PART.renewed;
      if (cell?.cell !== 'part' || !isNew || numbered.has(cell.name)) continue;
      const at = /@(\d+)$/.exec(cell.name)?.[1];
      const part = pack.parts?.[cell.part]?.title ?? cell.part;
      last.set(cell.name, {
        part,
        ...boreIn(at === undefined ? undefined : Number(at)),
        ...madeBy(envelope),
      });
    }
    return undefined;
  });
  return [...last].flatMap(([name, one]) => (isNow(plan, job, name) ? [one] : [])).sort(byPartAndBore);
}

/** Whether a place has a new part now: it may have been opened again. */
function isNow(plan: Plan, { control }: Job, name: string): boolean {
  const index = plan.cells.findIndex((one) => one.cell === 'part' && one.name === name);
  return control.bytes[index] === PART.renewed;
}
