import { type Pack, type Plan, pointerTo, writeAngle } from '@ferrule/engine';
import { namesInFull, wordsOf } from '../name-words.ts';
import { type Known, runStraight } from '../straight-run.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const wrongHolder: DiagnosticKind = {
  code: 'wrong-holder',
  severity: 'warning',
  says: 'A pin or tool is put in where the crankshaft stands in a position that something else holds.',
  marks: 'value',
  examine: wrongHolders,
};

const CRANK = 0;

/** Something that holds the crankshaft is named by the words of its name: `flywheel-pin` as the flywheel pin. */
const holdersIn = (text: string, { equipment = {} }: Pack): readonly string[] => {
  const words = wordsOf(text);
  return Object.keys(equipment).filter((id) => namesInFull(words, id));
};

function* wrongHolders(subject: Subject): Generator<Finding> {
  yield* twoHolders(subject);
  yield* strayMarks(subject);
  yield* apart(subject);
  yield* rockingElsewhere(subject);
  for (const plan of subject.plans) yield* inPlan(plan, subject.pack);
}

const angleOf = (text: string): number => Number(/^[\d.]+/.exec(text.trim())?.[0]);

/** The crankshaft and its flywheel stand alike every 360°, so what enters at 0° enters at 360° as well. */
function* twoHolders({ pack }: Subject): Generator<Finding> {
  for (const [id, { rotation }] of Object.entries(pack.variants)) {
    const stops = rotation?.stops ?? [];
    for (const [index, stop] of stops.entries()) {
      const own = holdersIn(stop['held-by'], pack);
      const place = stops.findIndex((one) => angleOf(one.at) % 360 === angleOf(stop.at) % 360);
      const first = stops[place];
      if (first === undefined || place >= index || own.length === 0) continue;
      const others = holdersIn(first['held-by'], pack);
      if (others.length === 0 || others.some((one) => own.includes(one))) continue;
      const at = pointerTo('/variants', id, 'rotation', 'stops');
      // What holds it there in fewer of the variants is the one that was mistaken.
      const isFirst = holding(pack, first.at, others) < holding(pack, stop.at, own);
      const [odd, usual] = isFirst ? [place, index] : [index, place];
      const [said, elsewhere] = isFirst ? [others, own] : [own, others];
      yield {
        pointer: pointerTo(at, odd, 'held-by'),
        message: `At ${stops[odd]?.at} the crankshaft stands as at ${stops[usual]?.at}, where ${elsewhere.join(' and ')} holds it; here it is ${said.join(' and ')}.`,
        remedy: 'Name the same at both, or correct the angle.',
        other: [{ pointer: pointerTo(at, usual, 'held-by'), message: `at ${stops[usual]?.at}` }],
      };
    }
  }
}

/** At how many stops of all variants that stand alike one of these holds the crankshaft. */
function holding(pack: Pack, at: string, ids: readonly string[]): number {
  return Object.values(pack.variants)
    .flatMap((one) => one.rotation?.stops ?? [])
    .filter((stop) => angleOf(stop.at) % 360 === angleOf(at) % 360)
    .filter((stop) => holdersIn(stop['held-by'], pack).some((id) => ids.includes(id))).length;
}

/** A mark on the flywheel comes round every 360°: what is held at it at two stops stands alike at both. */
function* apart({ pack }: Subject): Generator<Finding> {
  const all = Object.entries(pack.variants).flatMap(([id, { rotation }]) =>
    (rotation?.stops ?? []).map((stop, index) => ({ id, stop, index })),
  );
  const places = (text: string, place: number): number =>
    all.filter(({ stop }) => stop['held-by'] === text && angleOf(stop.at) % 360 === place).length;
  for (const { id, stop, index } of all) {
    const text = stop['held-by'];
    if (!/\bmark\b/i.test(text)) continue;
    const own = angleOf(stop.at) % 360;
    const usual = all.find(
      (one) => one.stop['held-by'] === text && places(text, angleOf(one.stop.at) % 360) > places(text, own),
    );
    if (usual === undefined) continue;
    const at = (variant: string, number: number): string =>
      pointerTo('/variants', variant, 'rotation', 'stops', number, 'at');
    yield {
      pointer: at(id, index),
      message: `The same mark holds the crankshaft at ${usual.stop.at}, and ${stop.at} is not a number of whole turns from there.`,
      remedy: 'Correct the angle, or what holds it.',
      other: [{ pointer: at(usual.id, usual.index), message: `at ${usual.stop.at}` }],
    };
  }
}

/** Valves rock at the end of the exhaust stroke of their cylinder: a turn after it fires. */
function* rockingElsewhere({ pack, plans }: Subject): Generator<Finding> {
  const orders = new Map(plans.map((plan) => [plan.variant.id, pack.variants[plan.variant.id]]));
  for (const [id, variant] of orders) {
    const order = variant?.['firing-order'] ?? [];
    const first = order.indexOf('1');
    if (first < 0 || variant?.cycle !== undefined) continue;
    for (const [index, stop] of (variant?.rotation?.stops ?? []).entries()) {
      const cylinder = /\bvalves of cylinder (\d+) rock/i.exec(stop['held-by'])?.[1];
      const place = order.indexOf(cylinder ?? '');
      if (place < 0) continue;
      const rocks = ((((place - first + order.length) % order.length) * 720) / order.length + 360) % 720;
      if (rocks === angleOf(stop.at)) continue;
      yield {
        pointer: pointerTo('/variants', id, 'rotation', 'stops', index, 'held-by'),
        message: `By the firing order the valves of cylinder ${cylinder} rock at ${rocks}°, and this stop is at ${stop.at}.`,
        remedy: 'Name the cylinder whose valves rock here, or correct the angle.',
      };
    }
  }
}

/** A stop that is held at the TDC mark, and no mark of TDC lies there. */
function* strayMarks({ pack }: Subject): Generator<Finding> {
  for (const [id, { rotation, marks = {} }] of Object.entries(pack.variants)) {
    const centres = Object.values(marks).filter((mark) => isCentre(mark.title));
    if (centres.length === 0) continue;
    for (const [index, stop] of (rotation?.stops ?? []).entries()) {
      const text = stop['held-by'];
      if (!isCentre(text) || /\bcylinder\s+\d/i.test(text)) continue;
      if (centres.some((mark) => angleOf(mark.at) % 360 === angleOf(stop.at) % 360)) continue;
      yield {
        pointer: pointerTo('/variants', id, 'rotation', 'stops', index, 'held-by'),
        message: `This names the TDC mark, and none lies at ${stop.at}: TDC is at ${centres.map((mark) => mark.at).join(' and ')}.`,
        remedy: 'Name what holds the crankshaft here, or correct the angle.',
      };
    }
  }
}

const isCentre = (text: string): boolean => /\bTDC\b|\btop dead cent/i.test(text);

/** Follows the crankshaft through the steps, and looks at each that puts in what holds it. */
function* inPlan(plan: Plan, pack: Pack): Generator<Finding> {
  const { positions } = plan.crank;
  const held = positions.map((one) => (one.heldBy === undefined ? [] : holdersIn(one.heldBy, pack)));
  const turning = new Set(
    plan.nodes.flatMap((node) =>
      node.node === 'step' && node.act?.act.startsWith('turn') === true ? node.uses : [],
    ),
  );
  const holders = new Set(held.flat());
  if (holders.size === 0) return;
  const findings: Finding[] = [];
  const known: Known = new Map(plan.starts.map((value, cell) => [cell, value]));
  runStraight(plan, 0, plan.nodes.length, known, (step, now) => {
    const used = step.uses.filter((id) => holders.has(id));
    const isPutIn = step.effects.some(
      (one) => plan.cells[one.cell]?.cell === 'state' && 'to' in one && one.to !== plan.starts[one.cell],
    );
    const crank = now.get(CRANK);
    if (used.length === 0 || !isPutIn || crank === undefined) return;
    const place = step.uses.indexOf(used[0] ?? '');
    const pointer = pointerTo(step.pointer, 'with', place);
    if (crank === 0) {
      const fixed = used.filter((id) => !turning.has(id) && !held.every((ids) => ids.includes(id)));
      if (fixed.length > 0)
        findings.push({
          pointer,
          message: `${fixed.join(' and ')} is put in here, and where the crankshaft stands is not known: it enters in some positions only.`,
          remedy: 'Turn the crankshaft to a mark with turn-to before this step.',
        });
      return;
    }
    const here = heldAt(plan, crank - 1, held);
    const position = positions[crank - 1];
    if (position === undefined || here.length === 0 || used.some((id) => here.includes(id))) return;
    findings.push({
      pointer,
      message: `${used.join(' and ')} is put in here with the crankshaft at ${writeAngle(position.at)}, where ${here.join(' and ')} holds it.`,
      remedy: `Turn the crankshaft on to where ${used.join(' and ')} enters, or hold it with ${here.join(' or ')}.`,
    });
  });
  yield* findings;
}

/** What holds the crankshaft at a position, or at the one a whole turn from it. */
function heldAt(plan: Plan, index: number, held: readonly (readonly string[])[]): readonly string[] {
  const here = held[index] ?? [];
  const position = plan.crank.positions[index];
  if (here.length > 0 || position === undefined) return here;
  const degrees = Number(position.at.toDecimal(3)) % 360;
  const twin = plan.crank.positions.findIndex(
    (one, other) => (held[other]?.length ?? 0) > 0 && Number(one.at.toDecimal(3)) % 360 === degrees,
  );
  return held[twin] ?? [];
}
