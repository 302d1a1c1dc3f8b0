import { type Pack, type Procedure, pointerTo } from '@ferrule/engine';
import { usedEntries } from '../used-readings.ts';
import { nameOf, operationsIn } from '../written-expressions.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const singleBore: DiagnosticKind = {
  code: 'single-bore',
  severity: 'warning',
  says: 'Bores named by their numbers stand in for the highest, the lowest or the spread of all bores.',
  marks: 'value',
  examine: singleBores,
};

const extremes =
  /\b(?:highest|lowest|largest|smallest|greatest|least|worst|widest|narrowest|weakest|strongest|thickest|thinnest|longest|shortest|spread|scatter|unevenness|imbalance|all (?:bores|cylinders|pumps))\b/i;

function* singleBores({ pack, plans }: Subject): Generator<Finding> {
  for (const [name, procedure] of Object.entries(pack.procedures)) {
    const most = mostBores(procedure, pack);
    if (most < 2) continue;
    const at = pointerTo('/procedures', name);
    for (const [id, { is, title }] of Object.entries(procedure.derived ?? {})) {
      const said = `${id.replaceAll('-', ' ')} ${title ?? ''} ${titlesOfTolerances(procedure, id)}`;
      yield* inExpression(is, pointerTo(at, 'derived', id, 'is'), said, most);
    }
    for (const [id, tolerance] of Object.entries(procedure.tolerances ?? {})) {
      const bore = /^(.+)@(\d+)$/.exec(tolerance.of);
      const word = extremes.exec(`${id.replaceAll('-', ' ')} ${tolerance.title ?? ''}`);
      if (bore === null) continue;
      const [, reading = '', number] = bore;
      if (word === null && !isElsewhereUnused(pointerTo(at, 'readings', reading), plans)) continue;
      yield {
        pointer: pointerTo(at, 'tolerances', id, 'of'),
        message:
          word === null
            ? `${reading} is read at every bore, and used at bore ${number} alone.`
            : `The ${word[0].toLowerCase()} is judged at bore ${number} alone, whichever bore has it.`,
        remedy:
          word === null
            ? `Judge each bore in its step (of: ${reading}), or a derived value of all: { highest: { every-bore: ${reading} } }.`
            : `Judge a derived value: { highest: { every-bore: ${reading} } }, or lowest, or spread.`,
      };
    }
  }
}

function* inExpression(is: unknown, pointer: string, said: string, most: number): Generator<Finding> {
  for (const { operator, operands, pointer: at } of operationsIn(is, pointer)) {
    const names = (Array.isArray(operands) ? (operands as readonly unknown[]) : [operands]).map((one) =>
      /^(.+)@(\d+)$/.exec(nameOf(one) ?? ''),
    );
    const [first] = names;
    if (first == null || !names.every((one) => one !== null && one[1] === first[1])) continue;
    const bores = [...new Set(names.map((one) => Number(one?.[2])))].sort((a, b) => a - b);
    if (bores.length >= most || bores.length < names.length) continue;
    const isList = ['spread', 'lowest', 'highest', 'mean', 'min', 'max'].includes(operator);
    // The first bores without a gap are a list for an engine with fewer cylinders, which is another fault.
    if (isList && (bores.length < 2 || bores.every((bore, index) => bore === index + 1))) continue;
    const word = extremes.exec(said);
    if (!isList && word === null) continue;
    const all = bores.join(', ');
    yield {
      pointer: at,
      message: isList
        ? `The ${operator} is taken over bores ${all}, and there are ${most}.`
        : `This is called ${word?.[0].toLowerCase()}, and is reckoned from bore ${all} whichever bore is meant by that.`,
      remedy: `Did you mean { ${isList ? operator : operator === 'var' ? 'highest' : 'spread'}: { every-bore: ${first[1]} } }?`,
    };
  }
}

/** Whether a reading is taken at several bores and used at one. */
const isElsewhereUnused = (pointer: string, plans: Subject['plans']): boolean =>
  plans.some((plan) => {
    const used = usedEntries(plan);
    const taken = plan.entries.flatMap((one, index) =>
      one.pointer === pointer && one.takers.length > 0 ? [index] : [],
    );
    return taken.length > 1 && taken.filter((index) => used.has(index)).length === 1;
  });

const titlesOfTolerances = (procedure: Procedure, of: string): string =>
  Object.values(procedure.tolerances ?? {})
    .flatMap((one) => (one.of === of ? [one.title ?? ''] : []))
    .join(' ');

function mostBores(procedure: Procedure, pack: Pack): number {
  const variants = procedure.variants ?? Object.keys(pack.variants);
  return Math.max(0, ...variants.map((id) => Number(pack.variants[id]?.cylinders ?? 0)));
}
