import { inWords, type Plan, type PlanTolerance, type TypedAmount, writeFormula } from '@ferrule/engine';

/** Stands for the place of a name that is meant at every bore. */
const EVERY = '@*';

/**
 * A formula as it is said on paper: a value that is judged elsewhere stands by its name, and what is the same for every bore
 * is said once. `isOwn` where the whole of it is to be written out.
 */
export function saidOnce(plan: Plan, amount: TypedAmount, isOwn = false): TypedAmount {
  const judged = judgedIn(plan);
  const walk = (one: TypedAmount, isOutside: boolean): TypedAmount => {
    // What is written out for its own sake is not called by its name.
    const name =
      one.node === 'calculation' && !(isOutside && isOwn) ? judged.get(JSON.stringify(one)) : undefined;
    if (name !== undefined) return { node: 'name', type: one.type, name };
    switch (one.node) {
      case 'calculation': {
        const operands = one.operands.map((inner) => walk(inner, false));
        return { ...one, operands: LISTS.has(one.operation) ? overBores(operands) : operands };
      }
      default:
        return one;
    }
  };
  return walk(amount, true);
}

/** Operations over as many values as there are. */
const LISTS: ReadonlySet<string> = new Set(['lowest', 'highest', 'spread', 'mean']);

const known = new WeakMap<Plan, ReadonlyMap<string, string>>();

/** Values that are worked out and judged, by how they are written. */
function judgedIn(plan: Plan): ReadonlyMap<string, string> {
  const found =
    known.get(plan) ??
    new Map(
      plan.tolerances.map((one) => {
        const bore = /@\d+$/.exec(one.name)?.[0] ?? '';
        const prefix = /^.*\./.exec(one.name)?.[0] ?? '';
        return [
          JSON.stringify(one.value),
          `${prefix}${one.of.includes('@') ? one.of : `${one.of}${bore}`}`,
        ] as const;
      }),
    );
  known.set(plan, found);
  return found;
}

/** Operands that are the same but for their bore, as one of every bore; two of them are said both. */
function overBores(operands: readonly TypedAmount[]): readonly TypedAmount[] {
  const [first] = operands;
  if (first === undefined || operands.length < 3) return operands;
  const shapes = operands.map((one) => JSON.stringify(one));
  const bores = shapes.map((one) => new Set(one.match(/@\d+(?=")/g)));
  const isAlike = shapes.every(
    (one, place) =>
      bores[place]?.size === 1 &&
      everywhere(one) === everywhere(shapes[0] ?? '') &&
      !one.includes('"node":"if"'),
  );
  return isAlike ? [renamed(first)] : operands;
}

const everywhere = (shape: string): string => shape.replace(/@\d+(?=")/g, EVERY);

function renamed(amount: TypedAmount): TypedAmount {
  switch (amount.node) {
    case 'name':
      return { ...amount, name: amount.name.replace(/@\d+$/, EVERY) };
    case 'calculation':
      return { ...amount, operands: amount.operands.map(renamed) };
    default:
      return amount;
  }
}

/** The name of a value with its place: `play of bore 2`, `play of every bore`; that of `own` goes without saying. */
export function placedInWords(name: string, words: string, own: string | undefined): string {
  if (name.endsWith(EVERY)) return `${words} of every bore`;
  const [, bore] = /@(\d+)$/.exec(name) ?? [];
  return bore === undefined || bore === own ? words : `${words} of bore ${bore}`;
}

/** How the value of a tolerance is worked out from readings, in words; undefined where the reading itself is judged. */
export function formulaOf(plan: Plan, tolerance: PlanTolerance): string | undefined {
  if (tolerance.value.node === 'name' && tolerance.elapsed === undefined) return undefined;
  return amountInWords(plan, tolerance.value, tolerance.name);
}

/** An amount of a tolerance in words, its readings called as at their steps where that leaves no doubt. */
export function amountInWords(plan: Plan, amount: TypedAmount, tolerance: string): string {
  const said = saidOnce(plan, amount, true);
  const names = new Set(namesIn(said).map(withoutPlace));
  const called = new Map<string, number>();
  for (const name of names) called.set(lastName(name), (called.get(lastName(name)) ?? 0) + 1);
  const bore = /@(\d+)$/.exec(tolerance)?.[1];
  return writeFormula(said, (name) => {
    const last = lastName(name);
    return placedInWords(name, inWords(called.get(last) === 1 ? last : withoutPlace(name)), bore);
  });
}

/** A name of the plan without its place: `drop` of `drop@3`. */
export const withoutPlace = (name: string): string => name.replace(/(?:@[\w*-]+)+$/, '');

/** The name of an entry without those of the procedures around it. */
export const lastName = (name: string): string => withoutPlace(name).replace(/^.*\./, '');

function namesIn(amount: TypedAmount): readonly string[] {
  switch (amount.node) {
    case 'name':
      return [amount.name];
    case 'calculation':
      return amount.operands.flatMap(namesIn);
    case 'if':
      return [...namesIn(amount.then), ...namesIn(amount.otherwise)];
    default:
      return [];
  }
}
