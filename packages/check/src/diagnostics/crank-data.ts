import { type Pack, type Plan, pointerTo, valueAt, writeAngle } from '@ferrule/engine';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const crankData: DiagnosticKind = {
  code: 'crank-data',
  severity: 'error',
  says: 'The data of the crank contradict themselves or go beyond what is followed.',
  marks: 'value',
  examine: contradictions,
};

function* contradictions({ pack, plans }: Subject): Generator<Finding> {
  yield* misplacedCentres(pack);
  yield* turnsBesideEveryMark(pack, plans);
}

/** A mark whose title says which dead centre it is, at another angle than that has in the order of firing. */
function* misplacedCentres({ variants }: Pack): Generator<Finding> {
  for (const [id, { marks = {}, cycle, 'firing-order': order = [] }] of Object.entries(variants)) {
    if (cycle !== undefined && !/^720\b/.test(cycle)) continue;
    for (const [mark, { at, title }] of Object.entries(marks)) {
      const cylinder = /\b(?:TDC|top dead cent\w+)\b.*\bcylinder (\d+)/i.exec(title)?.[1];
      const isFiring = /\bfiring\b|\bcompression\b/i.test(title);
      const isExhaust = /\bexhaust\b|\boverlap\b|\brocking\b/i.test(title);
      const place = order.indexOf(cylinder ?? '');
      const first = order.indexOf('1');
      if (cylinder === undefined || isFiring === isExhaust || (cylinder !== '1' && (place < 0 || first < 0)))
        continue;
      const fires =
        cylinder === '1' ? 0 : (((place - first + order.length) % order.length) * 720) / order.length;
      const expected = (fires + (isExhaust ? 360 : 0)) % 720;
      const found = Number(/^[\d.]+/.exec(at.trim())?.[0]);
      if (found === expected) continue;
      yield {
        pointer: pointerTo('/variants', id, 'marks', mark, 'at'),
        message: `${title} lies at ${expected}°, counted from the firing TDC of cylinder 1, and this says ${at}.`,
        remedy: 'Correct the angle, or the title.',
      };
    }
  }
}

/** A turn that ends beside every mark and stop, from wherever it may begin: nothing is known of the crankshaft after it. */
function* turnsBesideEveryMark(pack: Pack, plans: readonly Plan[]): Generator<Finding> {
  const turns = new Map<string, { readonly by: string; readonly positions: string; ends: boolean }>();
  for (const { nodes, crank } of plans) {
    if (crank.rotation === undefined) continue;
    for (const node of nodes) {
      if (node.node !== 'step' || node.act?.act !== 'turn') continue;
      const by = valueAt(pack, pointerTo(node.pointer, 'turn'));
      if (typeof by !== 'string' || !/^\d/.test(by)) continue;
      const table = node.effects.flatMap((one) => ('table' in one ? one.table : []));
      const known = turns.get(node.pointer) ?? {
        by,
        positions: crank.positions.map((one) => writeAngle(one.at)).join(', '),
        ends: false,
      };
      known.ends ||= table.some((to) => to > 0);
      turns.set(node.pointer, known);
    }
  }
  for (const [pointer, { by, positions, ends }] of turns) {
    if (ends) continue;
    yield {
      severity: 'warning',
      pointer: pointerTo(pointer, 'turn'),
      message: `From no mark or stop does a turn by ${by} end at another: they lie at ${positions}.`,
      remedy: 'Correct the angle; where the crankshaft is meant to be lost, say turn-until.',
    };
  }
}
