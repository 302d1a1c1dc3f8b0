import { cellsIn } from '@ferrule/check';
import type { Guard, Pack, Plan } from '@ferrule/engine';
import { explore, type Refutation, spellOut } from '@ferrule/engine/proof';
import type { Comparison } from '../comparison.ts';
import type { ComparedPermitted } from '../document/generated/comparison-document.ts';
import { drive } from './drive.ts';
import { type NewPlans, packOf, planOf } from './new-plans.ts';
import { type Protection, withValue } from './protections.ts';
import { tellWay, titleAt } from './tell-way.ts';
import type { Until } from './until.ts';

/**
 * For each protection of the older revision that is gone or weaker: it is put back on the newer document, and every way is
 * explored. Where the newer steps break it there is a shortest way to that; where they do not, that is proved.
 */
export function putBack(
  c: Comparison,
  plans: NewPlans,
  protections: readonly Protection[],
  until: Until,
): readonly ComparedPermitted[] {
  if (protections.length === 0) return [];
  const possible = protections.filter((one) => isPossible(c, plans, one));
  const document = possible.reduce<unknown>(
    (made, { pointer, value }) => withValue(made, pointer, value),
    c.new,
  );
  const pack = packOf(document);
  const found = new Map<Protection, ComparedPermitted>();
  const unfinished = new Set<Protection>();
  for (const name of pack === undefined ? [] : plans.names) {
    until.onProgress(`what ${name.procedure} may come to for ${name.variant}`);
    const plan = pack === undefined ? undefined : planOf(pack, name);
    if (pack === undefined || plan === undefined) continue;
    const guards = guardsOf(plan);
    let wanted = possible.filter((one) => guards.some((guard) => isOf(guard, one)));
    while (wanted.length > 0) {
      const isWanted = (guard: Guard): boolean => wanted.some((one) => isOf(guard, one));
      const isOther = (guard: Guard): boolean => !isWanted(guard) && possible.some((one) => isOf(guard, one));
      // What was refuted already would keep the ways behind it from being explored.
      const probe = without(plan, isOther);
      const { refutations, cutShort } = explore(probe, { isOver: until.isOver });
      const met = wanted.filter((one) => {
        const refutation = refutations.find((other) => 'guard' in other && isOf(other.guard, one));
        if (refutation === undefined) return false;
        const known = found.get(one);
        found.set(
          one,
          known === undefined
            ? permitted(pack, probe, one, refutation)
            : { ...known, also: [...new Set([...(known.also ?? []), name.variant])] },
        );
        return true;
      });
      if (met.length === 0) {
        if (cutShort) for (const one of wanted) unfinished.add(one);
        break;
      }
      wanted = wanted.filter((one) => !met.includes(one));
    }
  }
  return protections.map((one): ComparedPermitted => {
    const { change, says } = one;
    const way = found.get(one);
    if (way !== undefined) return { ...way, also: way.also?.filter((other) => other !== way.variant) ?? [] };
    if (!possible.includes(one) || pack === undefined)
      return {
        change,
        found: 'not-shown',
        says: `The older revision says: ${says} It cannot be put back on the newer one, since it names what is not there any more.`,
      };
    if (unfinished.has(one))
      return {
        change,
        found: 'cut-short',
        says: `The older revision says: ${says} The time was over before it was known whether a job can break it.`,
      };
    return {
      change,
      found: 'none',
      says: `The older revision says: ${says} No way through the newer procedures breaks it: it is missed only where steps are written otherwise later, or a job stands otherwise than it says.`,
    };
  });
}

/** Whether it can be put back: what it names is there. */
function isPossible(c: Comparison, plans: NewPlans, { pointer, value }: Protection): boolean {
  const pack = packOf(
    withValue(c.new, pointer.replace(/^\/interlocks\/\d+$/, placeOfLaw(c, pointer)), value),
  );
  const [first] = plans.names;
  if (pack === undefined || first === undefined) return false;
  const procedure = /^\/procedures\/([^/]+)/.exec(pointer)?.[1];
  const name = plans.names.find((one) => one.procedure === procedure) ?? first;
  return planOf(pack, name) !== undefined;
}

/** A law by itself stands right behind those that are there. */
function placeOfLaw(c: Comparison, pointer: string): string {
  const many = c.new.interlocks?.length ?? 0;
  return `/interlocks/${Math.min(many, Number(pointer.split('/')[2]))}`;
}

const isOf = ({ pointer }: Guard, protection: Protection): boolean =>
  pointer === protection.pointer || pointer.startsWith(`${protection.pointer}/`);

const guardsOf = (plan: Plan): readonly Guard[] => [
  ...plan.nodes.flatMap((node) => (node.node === 'step' ? [...node.guards, ...node.invariants] : [])),
  ...plan.entries.flatMap((entry) => entry.guards),
  ...plan.ends,
];

/** A plan without some of its guards. */
function without(plan: Plan, isOut: (guard: Guard) => boolean): Plan {
  const keep = (guards: readonly Guard[]): readonly Guard[] => guards.filter((one) => !isOut(one));
  return {
    ...plan,
    nodes: plan.nodes.map((node) =>
      node.node === 'step' ? { ...node, guards: keep(node.guards), invariants: keep(node.invariants) } : node,
    ),
    entries: plan.entries.map((entry) => ({ ...entry, guards: keep(entry.guards) })),
    ends: keep(plan.ends),
  };
}

function permitted(
  pack: Pack,
  plan: Plan,
  { change, says }: Protection,
  refutation: Refutation,
): ComparedPermitted {
  const { trace } = refutation;
  const signals = spellOut(plan, trace) ?? trace.map((one) => one.signal);
  const replayed = drive(plan, signals, true);
  const job = replayed.failed === undefined ? replayed : undefined;
  const watched = 'guard' in refutation ? cellsIn(refutation.guard.test) : [];
  const way = tellWay({ plan, pack }, signals, job, watched);
  const last = (way.at(-1)?.until ?? 0) + 1;
  const next = refutation.property === 'ends' ? 'The job can be ended.' : titleAt(plan, refutation);
  return {
    change,
    found: 'way',
    procedure: plan.procedure.id,
    variant: plan.variant.id,
    says: `The older revision says: ${says} The newer one lets it happen${
      replayed.failed === undefined
        ? '; a job was driven along the way.'
        : `, by the proof. No job was driven along the way: ${replayed.failed.why}`
    }`,
    way: [
      ...way,
      {
        from: last,
        until: last,
        says: next,
        happens: ['This is what the older revision did not allow here.'],
      },
    ],
  };
}
