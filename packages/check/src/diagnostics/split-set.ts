import { PART, type Pack, pointerTo } from '@ferrule/engine';
import { partWork } from '../part-work.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const splitSet: DiagnosticKind = {
  code: 'split-set',
  severity: 'warning',
  says: 'One part of a matched set is renewed, or may be new, and another is not; or a part of one bore may be new.',
  marks: 'value',
  examine: splitSets,
};

function* splitSets(subject: Subject): Generator<Finding> {
  const { pack, plans } = subject;
  for (const [id, part] of Object.entries(pack.parts ?? {})) {
    const own = part['matched-with']?.indexOf(id) ?? -1;
    if (own >= 0)
      yield {
        severity: 'error',
        pointer: pointerTo('/parts', id, 'matched-with', own),
        message: `${id} is matched with itself.`,
        remedy: 'Name the other part of the set.',
      };
  }
  for (const plan of plans) {
    const work = partWork(plan).filter((one) => one.to === PART.renewed);
    const renewed = new Set(work.map((one) => one.name));
    for (const { part, name, pointer } of work) {
      const place = name.slice(part.length);
      const left = matesOf(part, pack).filter((mate) => !renewed.has(mate + place));
      if (left.length > 0)
        yield {
          severity: 'error',
          pointer,
          message: `${part} is renewed here, and ${left.join(' and ')} of the same matched set stays.`,
          remedy: `Renew the whole set: renew: [${[part, ...left].join(', ')}].`,
          other: setOf(part, pack),
        };
    }
    const fitted = plan.entries.flatMap((one) =>
      one.entry === 'identity' && one.as === 'fitted' && one.takers.length > 0
        ? [{ ...one, pointer: `${plan.nodes[one.takers[0] ?? 0]?.pointer}/identify` }]
        : [],
    );
    for (const entry of fitted) {
      if (!entry.acceptNew) continue;
      if (pack.parts?.[entry.part]?.['tied-to-bore'] !== undefined && matesOf(entry.part, pack).length === 0)
        yield {
          pointer: pointerTo(entry.pointer, 'accept-new'),
          message: `${entry.part} goes back into the bore that it came from, and a new one is accepted here.`,
          remedy:
            'Take accept-new out, or tied-to-bore out of the part. A part that is renewed on purpose has a step for that, which renews it and writes its number down as found.',
          other: [{ pointer: pointerTo('/parts', entry.part, 'tied-to-bore'), message: 'where it is tied' }],
        };
      for (const mate of matesOf(entry.part, pack)) {
        const other = fitted.find((one) => one.part === mate && one.bore === entry.bore);
        if (other?.acceptNew === true) continue;
        yield {
          pointer: other?.pointer ?? entry.pointer,
          message:
            other === undefined
              ? `A new ${entry.part} would be accepted only with a new ${mate}, and no step identifies ${mate} as fitted.`
              : `A new ${entry.part} is accepted only with a new ${mate}, and here no new one is.`,
          remedy:
            other === undefined
              ? `Add identify: { part: ${mate}, as: fitted, accept-new: yes } where it goes back.`
              : `Add accept-new: yes, or take it out where ${entry.part} is fitted.`,
          ...(other === undefined
            ? {}
            : { other: [{ pointer: entry.pointer, message: `where ${entry.part} is fitted` }] }),
        };
      }
    }
  }
}

/** The other parts of a matched set. It is one in both directions, whichever part says so. */
const matesOf = (id: string, { parts = {} }: Pack): readonly string[] => [
  ...new Set([
    ...(parts[id]?.['matched-with'] ?? []),
    ...Object.keys(parts).filter((other) => parts[other]?.['matched-with']?.includes(id)),
  ]),
];

const setOf = (id: string, { parts = {} }: Pack) =>
  Object.entries(parts).flatMap(([other, part]) =>
    part['matched-with'] !== undefined && (other === id || part['matched-with'].includes(id))
      ? [{ pointer: pointerTo('/parts', other, 'matched-with'), message: 'the set' }]
      : [],
  );
