import {
  followerAt,
  MOST_CYLINDERS,
  type Phasing,
  type PhasingFault,
  phasingFaults,
  planRotation,
  type RotationRefusal,
} from '../crank/index.ts';
import { type Kind, Rational } from '../quantity/index.ts';
import type { Pack, Variant } from './generated/document.ts';
import type { PlanCrank } from './plan.ts';
import { pointerTo } from './pointer.ts';
import { readPackQuantity } from './read-quantity.ts';
import type { Report } from './report.ts';

/** What a variant of an engine comes to: its bores, its facts, and its crank. */
export interface ResolvedVariant {
  readonly id: string;
  readonly title: string;
  /** Bore numbers from front to rear; empty where the number of cylinders is not said. */
  readonly bores: readonly number[];
  readonly facts: ReadonlyMap<string, string>;
  readonly crank: PlanCrank;
  readonly phasing?: Phasing;
  /** Whether the follower of a bore is on its base circle; undefined where the variant has no data for it. */
  isOnBaseCircle(bore: number, position: Rational): boolean | undefined;
  readonly pointer: string;
}

const zero = Rational.zero;
const fourStroke = Rational.of(720);
const never = { from: zero, until: zero };
/** The crank has one byte: 0 stands for an unknown position, and 255 for none. */
const MOST_POSITIONS = 254;

export function resolveVariant(pack: Pack, id: string, report: Report): ResolvedVariant {
  const pointer = pointerTo('/variants', id);
  const variant: Variant = pack.variants[id] ?? { title: id };
  const angle = (text: string | undefined, at: string): Rational | undefined =>
    text === undefined ? undefined : readPackQuantity(text, 'angle' satisfies Kind, at, report)?.value;

  const cylinders = Number(variant.cylinders ?? 0);
  const isTooMany = cylinders > MOST_CYLINDERS;
  if (isTooMany) {
    const message = `${cylinders} cylinders are more than any engine here has: ${MOST_CYLINDERS} is the most.`;
    report.add('crank-data', pointerTo(pointer, 'cylinders'), message);
  }
  const bores = Array.from({ length: isTooMany ? 0 : cylinders }, (_, index) => index + 1);
  const cycle = angle(variant.cycle, pointerTo(pointer, 'cycle')) ?? fourStroke;
  const phasing = readPhasing();
  const positions = readPositions();
  const rotation = readRotation();

  function readPhasing(): Phasing | undefined {
    const order = variant['firing-order'];
    const offBase = variant['off-base'];
    if (order === undefined || isTooMany) return undefined;
    if (offBase === undefined) {
      // Nothing is computed from it, and still it says which cylinders there are.
      sayFaults({ cylinders, firingOrder: order.map(Number), cycle: fourStroke, offBase: never });
      return undefined;
    }
    const from = angle(offBase.before, pointerTo(pointer, 'off-base', 'before'));
    const until = angle(offBase.after, pointerTo(pointer, 'off-base', 'after'));
    if (from === undefined || until === undefined) return undefined;
    const made = { cylinders, firingOrder: order.map(Number), cycle, offBase: { from, until } };
    return sayFaults(made) ? undefined : made;
  }

  function sayFaults(phasing: Phasing): boolean {
    const faults = phasingFaults(phasing);
    for (const [key, says] of saysPhasingFaults(faults, phasing))
      report.add('crank-data', pointerTo(pointer, key), says.message, { remedy: says.remedy });
    return faults.length > 0;
  }

  function readPositions(): PlanCrank['positions'] {
    const found: { at: Rational; title: string; mark?: string; heldBy?: string }[] = [];
    const put = (
      at: Rational | undefined,
      more: { title?: string; mark?: string; heldBy?: string },
      where: string,
    ): void => {
      if (at === undefined) return;
      if (at.sign < 0 || at.compare(cycle) >= 0) {
        report.add(
          'crank-data',
          where,
          `A crank position lies from 0° up to, and not including, ${cycle.toDecimal(0)}°.`,
        );
        return;
      }
      const same = found.find((one) => one.at.equals(at));
      if (same === undefined) found.push({ title: `${writeAngle(at)}`, ...more, at });
      else Object.assign(same, more);
    };
    for (const [mark, said] of Object.entries(variant.marks ?? {})) {
      const where = pointerTo(pointer, 'marks', mark, 'at');
      put(angle(said.at, where), { title: said.title, mark }, where);
    }
    variant.rotation?.stops.forEach((stop, number) => {
      const where = pointerTo(pointer, 'rotation', 'stops', number, 'at');
      put(angle(stop.at, where), { heldBy: stop['held-by'] }, where);
    });
    if (found.length > MOST_POSITIONS) {
      const message = `Marks and stops are ${found.length} positions of the crank; ${MOST_POSITIONS} is the most.`;
      report.add('crank-data', pointer, message, { remedy: 'Leave out those that no step needs.' });
      return [];
    }
    return found.sort((a, b) => a.at.compare(b.at));
  }

  function readRotation(): Pick<PlanCrank, 'rotation' | 'accuracy' | 'sequence'> {
    const written = variant.rotation;
    if (written === undefined) return { sequence: [] };
    const at = pointerTo(pointer, 'rotation');
    const sequence =
      written.sequence === 'rear-to-front'
        ? [...bores].reverse()
        : written.sequence === 'front-to-rear'
          ? bores
          : (written.sequence as readonly string[]).map(Number);
    const missed = bores.filter((bore) => !sequence.includes(bore));
    const repeated = sequence.filter((bore, place) => sequence.indexOf(bore) < place);
    if (repeated.length > 0) {
      const instead = missed.length === 0 ? '' : `, and bore ${missed.join(', ')} not at all`;
      const message = `Bore ${repeated.join(', ')} stands in the sequence twice${instead}.`;
      report.add('crank-data', pointerTo(at, 'sequence'), message, { remedy: 'Name every bore once.' });
    } else if (missed.length > 0) {
      const message = `The sequence does not come to bore ${missed.join(', ')}.`;
      report.add('crank-data', pointerTo(at, 'sequence'), message, {
        severity: 'warning',
        remedy: 'Name every bore, in the order in which the pumps are visited.',
      });
    }
    const strange = bores.length === 0 ? [] : sequence.filter((bore) => !bores.includes(bore));
    for (const bore of strange) {
      const message = `The sequence names bore ${bore}, and ${variant.title} has ${bores.length}.`;
      report.add('crank-data', pointerTo(at, 'sequence'), message);
    }
    const start = positions.find((one) => one.mark === written.from);
    if (start === undefined && Object.hasOwn(variant.marks ?? {}, written.from)) return { sequence };
    if (start === undefined)
      report.unknown('mark', written.from, Object.keys(variant.marks ?? {}), pointerTo(at, 'from'));
    const accuracy = angle(written.accuracy, pointerTo(at, 'accuracy'));
    if (phasing === undefined) {
      if (variant['firing-order'] === undefined || variant['off-base'] === undefined) {
        report.add('crank-data', at, 'A rotation plan needs firing-order and off-base.');
      }
      return { sequence };
    }
    const isFaulty = [at, pointerTo(pointer, 'marks')].some((one) => report.hasErrorAt(one));
    if (start === undefined || accuracy === undefined || isFaulty) return { sequence };
    const stopsAt = positions.filter((one) => one.heldBy !== undefined).map((one) => one.at);
    const least = leastDistance(stopsAt, cycle);
    if (accuracy.sign < 0 || accuracy.times(Rational.of(2)).compare(least) >= 0) {
      const message = `A crankshaft that may stand ${writeAngle(accuracy)} off could stand at the next stop as well: two of them are ${writeAngle(least)} apart.`;
      report.add('crank-data', pointerTo(at, 'accuracy'), message, {
        remedy: 'Write how far from a stop the crankshaft can come to rest, less than half of that.',
      });
      return { sequence };
    }
    const stops = { at: stopsAt };
    const planned = planRotation({ phasing, start: start.at, stops, sequence, stopAccuracy: accuracy });
    if (!('plan' in planned)) {
      for (const refusal of planned.refused)
        report.add('no-rotation-plan', at, refusalMessage(refusal), {
          remedy: 'Correct the stops, off-base or firing-order, or add a stop where the follower is down.',
        });
      return { sequence, accuracy };
    }
    return { sequence, accuracy, rotation: planned.plan };
  }

  return {
    id,
    title: variant.title,
    bores,
    facts: new Map(Object.entries(variant.facts ?? {})),
    crank: { positions, ...rotation },
    ...(phasing === undefined ? {} : { phasing }),
    isOnBaseCircle: (bore, position) =>
      phasing === undefined ? undefined : followerAt(phasing, bore, position)?.onBaseCircle,
    pointer,
  };
}

/** The least angle between two neighbours among stops that rise; the whole cycle for one alone. */
function leastDistance(stops: readonly Rational[], cycle: Rational): Rational {
  return stops.reduce((least, at, index) => {
    const next = stops[index + 1] ?? stops[0]?.plus(cycle) ?? cycle;
    const distance = next.minus(at);
    return distance.compare(least) < 0 ? distance : least;
  }, cycle);
}

/** An angle as text, without needless zeros: `360°`, `22.5°`. */
export function writeAngle(angle: Rational): string {
  const text = angle.toDecimal(3).replace(/\.?0+$/, '');
  return `${text === '' ? zero.toDecimal(0) : text}°`;
}

type Said = { readonly message: string; readonly remedy: string };

/** What is wrong with the data of a crank: one sentence for the firing order and one for the span off the base circle. */
function saysPhasingFaults(
  faults: readonly PhasingFault[],
  { cylinders, firingOrder, cycle }: Phasing,
): readonly (readonly [key: 'cycle' | 'off-base' | 'firing-order', says: Said])[] {
  const found: (readonly ['cycle' | 'off-base' | 'firing-order', Said])[] = [];
  const order: string[] = [];
  for (const fault of faults) {
    switch (fault.fault) {
      case 'span-reversed':
        found.push([
          'off-base',
          {
            message: `The follower would come down ${writeAngle(fault.span.abs())} before it is lifted.`,
            remedy:
              'before: counts back from the firing TDC and after: on from it. What begins after it has a minus: before: -130°.',
          },
        ]);
        break;
      case 'span-fills-cycle':
        found.push([
          'off-base',
          {
            message: `The follower would be off its base circle all the way round: for ${writeAngle(fault.span)} of a cycle of ${writeAngle(cycle)}.`,
            remedy: 'Correct before: or after:, which together are the angle over which it is lifted.',
          },
        ]);
        break;
      case 'cycle':
        found.push([
          'cycle',
          { message: `No engine has a cycle of ${writeAngle(fault.cycle)}.`, remedy: 'Write 720° or 360°.' },
        ]);
        break;
      case 'not-a-cylinder':
        order.push(`names ${fault.cylinder}`);
        break;
      case 'repeated-cylinder':
        order.push(`names ${fault.cylinder} twice`);
        break;
      case 'missing-cylinder':
        order.push(`leaves ${fault.cylinder} out`);
        break;
      default:
        order.push(fault.fault.replaceAll('-', ' '));
    }
  }
  if (order.length > 0)
    found.push([
      'firing-order',
      {
        message: `The firing order ${firingOrder.join('-')} of ${cylinders} cylinders ${order.join(' and ')}.`,
        remedy: 'Name every cylinder once, or correct cylinders.',
      },
    ]);
  return found;
}

function refusalMessage(refusal: RotationRefusal): string {
  switch (refusal.because) {
    case 'no-free-stop':
      return `No stop leaves the follower of bore ${refusal.bore} on its base circle; at ${writeAngle(refusal.position)} it is ${writeAngle(refusal.margin.abs())} inside its lift.`;
    case 'stop-accuracy':
      return `Bore ${refusal.bore} has only ${writeAngle(refusal.margin)} to its lift at ${writeAngle(refusal.position)}, and the crank may stand ${writeAngle(refusal.stopAccuracy)} off.`;
    default:
      return `No rotation plan: ${refusal.because.replaceAll('-', ' ')}.`;
  }
}
