import {
  nearest,
  type Pack,
  type Plan,
  pointerTo,
  type Report,
  resolve,
  type written,
} from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import type { Neighbours } from '@ferrule/source';
import { jobVariants } from './job-variants.ts';
import { writtenSteps } from './written-steps.ts';

/** Something of another pack that a pack names, where it names it, and under which keys. */
export interface NamedElsewhere {
  readonly pack: string;
  readonly procedure: string;
  readonly pointer: string;
  readonly packKey: 'pack' | 'from';
  /** The reading whose value may be taken over from there. */
  readonly reading?: written.Reading;
}

/** Everything of other packs that a pack names. */
export function namedElsewhere(pack: Pack): readonly NamedElsewhere[] {
  const referred = writtenSteps(pack).flatMap(({ step, pointer }): readonly NamedElsewhere[] => {
    const to = step['refer-to'];
    if (to === undefined) return [];
    return [
      { pack: to.pack, procedure: to.procedure, pointer: pointerTo(pointer, 'refer-to'), packKey: 'pack' },
    ];
  });
  const carried = Object.entries(pack.procedures).flatMap(([name, { readings = {} }]) =>
    Object.entries(readings).flatMap(([id, reading]): readonly NamedElsewhere[] => {
      const { carry } = reading;
      if (carry === undefined) return [];
      const pointer = pointerTo('/procedures', name, 'readings', id, 'carry');
      return [{ pack: carry.from, procedure: carry.procedure, pointer, packKey: 'from', reading }];
    }),
  );
  return [...referred, ...carried].filter((one) => one.pack !== pack.pack);
}

type Say = (key: string, message: string, remedy: string) => void;

const among = (known: readonly string[], meant: string | undefined, has: string): string =>
  meant === undefined ? `${has} ${known.join(', ') || 'none'}.` : `Did you mean ${meant}?`;

/** Reports what is named of packs that stand beside this one and is not there. Where none stands beside it nothing is said. */
export function reportNeighbours(
  pack: Pack,
  plans: readonly Plan[],
  { names, newest }: Neighbours,
  report: Report,
): void {
  if (names.length === 0) return;
  for (const { pack: name, procedure, pointer, packKey, reading } of namedElsewhere(pack)) {
    const say: Say = (key, message, remedy) =>
      report.add('not-beside', pointerTo(pointer, key), message, { severity: 'warning', remedy });
    if (!names.includes(name)) {
      say(
        packKey,
        `There is no pack ${name} beside this one.`,
        among(names, nearest(name, names), 'Beside it stand'),
      );
      continue;
    }
    const found = newest.get(name);
    // What cannot be read is told where that pack is checked.
    const other = found && validate(found.document).pack;
    if (found === undefined || other === undefined) continue;
    const where = `${name} ${found.revision}, which stands beside this pack,`;
    const known = Object.keys(other.procedures);
    if (!known.includes(procedure)) {
      say(
        'procedure',
        `${where} has no procedure ${procedure}.`,
        among(known, nearest(procedure, known), 'It has'),
      );
      continue;
    }
    const written = jobVariants(other, procedure);
    const lacking = withoutIt(pack, plans, other, written, pointer);
    if (lacking.length > 0) {
      const someHaveIt = lacking.length < Object.keys(pack.variants).length;
      const remedy = someHaveIt
        ? `Write only-if: { variant: [${written.join(', ')}] } where it is named, and say what is done for ${listed(lacking)}.`
        : 'Name another procedure.';
      say(
        'procedure',
        `${where} has ${procedure} for ${listed(written)} only, and ${listed(lacking)} would be led there too.`,
        remedy,
      );
    }
    const [variant] = written;
    const { plan } = resolve(other, { procedure, variant: variant ?? '' });
    if (plan !== undefined && reading !== undefined) sayOfValue(plan, reading, where, say);
  }
}

const listed = (all: readonly string[]): string =>
  all.length < 2 ? all.join('') : `${all.slice(0, -1).join(', ')} and ${all.at(-1)}`;

/**
 * The variants whose jobs hold what names a procedure, and for which that is not written. Packs that name no variant alike
 * tell engines apart by other things, and nothing is compared.
 */
function withoutIt(
  pack: Pack,
  plans: readonly Plan[],
  other: Pack,
  written: readonly string[],
  pointer: string,
): readonly string[] {
  if (!Object.keys(pack.variants).some((one) => Object.hasOwn(other.variants, one))) return [];
  const owner = pointer.slice(0, pointer.lastIndexOf('/'));
  const holding = plans.filter(({ nodes, entries }) =>
    [...nodes, ...entries].some((one) => one.pointer === owner),
  );
  return [...new Set(holding.map(({ variant }) => variant.id))].filter((one) => !written.includes(one));
}

/** What a value that is taken over is not there as it is asked for. */
function sayOfValue(plan: Plan, { carry, quantity, per }: written.Reading, where: string, say: Say): void {
  if (carry === undefined) return;
  const [id = ''] = carry.value.split('@');
  const known = [...new Set(plan.exports.map((one) => one.name.split('@')[0] ?? ''))];
  const all = plan.exports.filter((one) => one.name.split('@')[0] === id);
  const [first] = all;
  if (first === undefined)
    return say(
      'value',
      `${plan.procedure.id} of ${where} does not export ${id}.`,
      among(known, nearest(id, known), 'It exports'),
    );
  const { kind } = first.value.type;
  if (kind !== quantity)
    say(
      'value',
      `${id} of ${where} is of the kind ${kind}, and the reading is ${quantity}.`,
      'Name another value.',
    );
  const isPlaced = carry.value.includes('@') || per !== undefined;
  if (isPlaced !== first.name.includes('@'))
    say(
      'value',
      isPlaced
        ? `${id} of ${where} is one for the whole engine.`
        : `${id} of ${where} is taken per bore, and the reading is not.`,
      isPlaced
        ? 'Take per: out of the reading, or name another value.'
        : `Write ${id}@1, or add per: to the reading.`,
    );
  const field = carry['of-engine'];
  const fields = plan.entries.flatMap((one) => (one.entry === 'field' ? one.name : []));
  if (!fields.includes(field))
    say(
      'of-engine',
      `${plan.procedure.id} of ${where} does not fill in ${field}, so that nothing says on which engine it was.`,
      among(fields, nearest(field, fields), 'It fills in'),
    );
}
