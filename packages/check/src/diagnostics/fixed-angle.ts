import { pointerTo } from '@ferrule/engine';
import { mapsIn } from '../maps-in.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const fixedAngle: DiagnosticKind = {
  code: 'fixed-angle',
  severity: 'error',
  says: 'A loop over the planned stops turns the crankshaft by one angle, and not by that of each stop.',
  marks: 'value',
  when: 'written',
  examine: fixedAngles,
};

function* fixedAngles({ pack }: Subject): Generator<Finding> {
  for (const [loop, pointer] of mapsIn(pack.procedures, '/procedures')) {
    if (loop['of'] !== 'plan.stops' || typeof loop['each'] !== 'string') continue;
    const name = `${loop['each']}.rotation`;
    const turns = [...mapsIn(loop['steps'], pointerTo(pointer, 'steps'))].flatMap(([map, at]) =>
      typeof map['turn'] === 'string' ? [{ turn: map['turn'], at }] : [],
    );
    if (turns.some(({ turn }) => turn.includes(name))) continue;
    for (const { turn, at } of turns) {
      if (!/^[-+\d]/.test(turn)) continue;
      yield {
        pointer: pointerTo(at, 'turn'),
        message: `The stops of the plan lie apart by different angles, and this turns by ${turn} to each of them.`,
        remedy: `Write turn: ${name}.`,
      };
    }
  }
}
