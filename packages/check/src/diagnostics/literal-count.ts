import { type Pack, pointerTo, type written } from '@ferrule/engine';
import { wordsOf } from '../name-words.ts';
import { usedProcedures } from '../used-procedures.ts';
import { variantsAt } from '../variants-at.ts';
import { writtenSteps } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const literalCount: DiagnosticKind = {
  code: 'literal-count',
  severity: 'warning',
  says: 'A number that is right for the cylinders of one variant stands where another variant needs another.',
  marks: 'value',
  examine: literalCounts,
};

function* literalCounts(subject: Subject): Generator<Finding> {
  yield* inSteps(subject);
  yield* inTolerances(subject);
  yield* inFacts(subject);
}

/** How many cylinders each of some variants has; of those that say so. */
function cylindersOf(pack: Pack, variants: Iterable<string>): ReadonlyMap<string, number> {
  const found = new Map<string, number>();
  for (const id of variants) {
    const cylinders = pack.variants[id]?.cylinders;
    if (cylinders !== undefined) found.set(id, Number(cylinders));
  }
  return found;
}

const isAlike = (numbers: Iterable<number>): boolean => new Set(numbers).size < 2;

/** What there is once in each bore, by name. */
const perBore = ({ parts = {}, states = {} }: Pack): readonly string[] =>
  [...Object.entries(parts), ...Object.entries(states)].flatMap(([id, one]) =>
    one.per === undefined ? [] : [id],
  );

/** Where a name ends that stands in some words, the furthest of several; 0 if none does. */
function endOfNames(told: readonly string[], names: ReadonlySet<string>): number {
  for (let end = told.length; end > 0; end--)
    for (let start = 0; start < end; start++) if (names.has(told.slice(start, end).join(' '))) return end;
  return 0;
}

const words = ['two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten', 'eleven', 'twelve'];
const numeral = new RegExp(String.raw`\b(\d{1,2}|${words.join('|')})\s+(\p{L}[\p{L}\s-]*)`, 'giu');
const numberOf = (text: string): number => {
  const place = words.indexOf(text.toLowerCase());
  return place < 0 ? Number(text) : place + 2;
};

/** `Lay the 4 clamp screws out`, outside of a bore, where another variant has more of them. */
function* inSteps({ pack, plans }: Subject): Generator<Finding> {
  const things = perBore(pack);
  if (things.length === 0) return;
  const names = new Set(things.map((id) => wordsOf(id).join(' ')));
  const at = variantsAt(plans);
  for (const { step, pointer, inBore } of writtenSteps(pack)) {
    if (inBore) continue;
    const cylinders = cylindersOf(pack, at.get(pointer) ?? []);
    if (isAlike(cylinders.values())) continue;
    for (const key of ['do', 'title', 'photograph', 'turn-until'] as const) {
      for (const [, count = '', after = ''] of (step[key] ?? '').matchAll(numeral)) {
        const told = wordsOf(after).slice(0, 5);
        const end = endOfNames(told, names);
        const number = numberOf(count);
        if (end === 0 || ![...cylinders.values()].includes(number)) continue;
        if (/^(?:[\p{L}-]+\s+){1,4}(?:each|a|per|every|of (?:each|every|one))\b/iu.test(after)) continue;
        yield {
          pointer: pointerTo(pointer, key),
          ...counted(
            `"${count} ${after
              .split(/[\s-]+/)
              .slice(0, end)
              .join(' ')}"`,
            number,
            cylinders,
            pack,
          ),
        };
      }
    }
  }
}

function counted(what: string, number: number, cylinders: ReadonlyMap<string, number>, pack: Pack) {
  const others = [...cylinders].filter(([, one]) => one !== number);
  const said = others.map(([id, one]) => `${pack.variants[id]?.title ?? id} has ${one}`).join(', ');
  return {
    message: `This says ${what}, and is done on engines with other numbers of cylinders too: ${said}.`,
    remedy: 'Leave the number out, or take it from a fact: {variant.…} in a text, variant.… in limits.',
    other: others.map(([id]) => ({
      pointer: pointerTo('/variants', id, 'cylinders'),
      message: 'another number',
    })),
  };
}

const limitsOf = (tolerance: written.Tolerance): readonly (readonly [string, string])[] => [
  ...(['nominal', 'at-least', 'at-most'] as const).flatMap((key) => {
    const text = tolerance[key];
    return typeof text === 'string' ? [[key, text] as const] : [];
  }),
  ...(tolerance.between ?? []).flatMap((text, index) =>
    typeof text === 'string' ? [[`between/${index}`, text] as const] : [],
  ),
];

/** A count of what there is per bore, judged by a bare number. */
function* inTolerances(subject: Subject): Generator<Finding> {
  const { pack, plans } = subject;
  const things = perBore(pack);
  for (const [name, procedure] of usedProcedures(subject)) {
    const pointer = pointerTo('/procedures', name);
    const cylinders = cylindersOf(pack, variantsAt(plans).get(pointer) ?? []);
    if (isAlike(cylinders.values())) continue;
    for (const [id, tolerance] of Object.entries(procedure.tolerances ?? {})) {
      const reading = procedure.readings?.[tolerance.of];
      if (reading?.quantity !== 'count' || reading.per !== undefined) continue;
      const told = wordsOf(`${reading.measurand} ${tolerance.title ?? ''} ${tolerance.of}`);
      const thing = things.find((one) => wordsOf(one).some((word) => told.includes(word)));
      for (const [key, text] of limitsOf(tolerance)) {
        const number = /^\d+$/.test(text) ? Number(text) : 0;
        if (number === 0) continue;
        const fits = [...cylinders].find(([, one]) => number % one === 0 && number / one <= 8);
        const fact = factOf(pack, cylinders, text);
        if (fact === undefined && (thing === undefined || fits === undefined)) continue;
        const [, own = number] = fits ?? [];
        const at = `${pointerTo(pointer, 'tolerances', id)}/${key}`;
        const finding = counted(`${number}, as for ${own} cylinders`, own, cylinders, pack);
        yield {
          pointer: at,
          ...finding,
          ...(fact === undefined ? {} : { remedy: `Did you mean variant.${fact}?` }),
        };
      }
    }
  }
}

/** A fact that has this value in one of some variants and another value in another. */
function factOf(pack: Pack, variants: ReadonlyMap<string, number>, value: string): string | undefined {
  const facts = [...variants.keys()].map((id) => pack.variants[id]?.facts ?? {});
  return Object.keys(facts[0] ?? {}).find((name) => {
    const values = facts.map((one) => one[name]);
    return values.includes(value) && new Set(values).size > 1;
  });
}

/** A count that goes with the cylinders in every variant but one, where it is the count of another. */
function* inFacts({ pack }: Subject): Generator<Finding> {
  const cylinders = [...cylindersOf(pack, Object.keys(pack.variants))];
  if (cylinders.length < 3) return;
  for (const name of Object.keys(pack.variants[cylinders[0]?.[0] ?? '']?.facts ?? {})) {
    const counts = cylinders.flatMap(([id, number]) => {
      const value = pack.variants[id]?.facts?.[name] ?? '';
      return /^[1-9]\d*$/.test(value) ? [{ id, value, share: Number(value) / number }] : [];
    });
    if (counts.length < cylinders.length) continue;
    for (const odd of counts) {
      const [first, ...rest] = counts.filter((one) => one !== odd);
      if (first === undefined || !Number.isInteger(first.share) || first.share === odd.share) continue;
      if (!rest.some((one) => one.value !== first.value) || !rest.every((one) => one.share === first.share))
        continue;
      const same = counts.find((one) => one !== odd && one.value === odd.value);
      if (same === undefined) continue;
      const expected = first.share * (Number(odd.value) / odd.share);
      yield {
        pointer: pointerTo('/variants', odd.id, 'facts', name),
        message: `${name} is ${first.share} for each cylinder in the other variants; here it is ${odd.value}, as in ${same.id}.`,
        remedy: `Did you mean ${expected}?`,
        other: [{ pointer: pointerTo('/variants', same.id, 'facts', name), message: 'the same number here' }],
      };
    }
  }
}
