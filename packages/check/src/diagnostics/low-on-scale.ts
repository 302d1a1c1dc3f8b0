import {
  adapterRatio,
  exactSetting,
  leastSpecified,
  pointerTo,
  Rational,
  writeAmount,
  writeQuantity,
} from '@ferrule/engine';
import { type FindingOfVariant, oncePerPlace } from '../once-per-place.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const lowOnScale: DiagnosticKind = {
  code: 'low-on-scale',
  severity: 'warning',
  says: 'A torque tool is set to less than a fifth of its largest torque, for which it is not specified.',
  marks: 'value',
  examine: (subject: Subject): Iterable<Finding> => oncePerPlace(lowSettings(subject)),
};

function* lowSettings({ pack, plans }: Subject): Generator<FindingOfVariant> {
  for (const { nodes, instruments, variant } of plans) {
    for (const node of nodes) {
      if (node.node !== 'step' || node.act?.act !== 'tighten') continue;
      const { wrench: id, stages, adapter } = node.act;
      const wrench = instruments.find((one) => one.id === id);
      if (wrench === undefined || pack.instruments?.[wrench.id]?.['torque-class'] === undefined) continue;
      const { length } = wrench;
      const ratio =
        adapter === undefined
          ? Rational.one
          : length === undefined
            ? undefined
            : adapterRatio(length, adapter);
      if (ratio === undefined) continue;
      const [, largest] = wrench.range;
      const least = leastSpecified(largest);
      for (const [place, stage] of stages.entries()) {
        if (stage.stage !== 'torque') continue;
        // A running torque may be next to nothing.
        const set = { kind: 'torque', value: exactSetting(stage.torque, undefined, ratio) } as const;
        if (set.value.compare(least) >= 0) continue;
        const { unit, decimals } = largest;
        const shown =
          adapter === undefined ? writeQuantity(stage.torque) : writeAmount(set, unit, decimals + 1);
        yield {
          variant: variant.id,
          pointer: pointerTo(node.pointer, 'tighten', 'stages', place),
          message: `${shown} on ${wrench.id} is less than a fifth of its largest torque, ${writeQuantity(largest)}: its class is specified from ${writeAmount({ kind: 'torque', value: least }, unit, decimals + 1)} on.`,
          remedy: 'Name a wrench for smaller torques.',
          other: [
            { pointer: pointerTo('/instruments', wrench.id, 'range', 1), message: 'its largest torque' },
          ],
        };
      }
    }
  }
}
