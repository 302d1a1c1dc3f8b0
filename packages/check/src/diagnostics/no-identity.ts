import { pointerTo } from '@ferrule/engine';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const noIdentity: DiagnosticKind = {
  code: 'no-identity',
  severity: 'error',
  says: 'A part belongs to its bore or to a matched set, and carries nothing by which it is known again.',
  marks: 'key',
  examine: withoutIdentity,
};

function* withoutIdentity({ pack }: Subject): Generator<Finding> {
  const parts = pack.parts ?? {};
  const several = Object.values(pack.variants).some((variant) => Number(variant.cylinders ?? 0) > 1);
  for (const [id, part] of Object.entries(parts)) {
    const key = (['tied-to-bore', 'matched-with'] as const).find((one) => part[one] !== undefined);
    const naming = Object.keys(parts).find((other) => parts[other]?.['matched-with']?.includes(id));
    if (key === undefined && naming === undefined) continue;
    const belongs = key === 'tied-to-bore' ? 'goes back into its own bore' : 'belongs to a matched set';
    const other =
      naming === undefined
        ? {}
        : { other: [{ pointer: pointerTo('/parts', naming, 'matched-with'), message: 'the set' }] };
    const pointer = key === undefined ? pointerTo('/parts', id) : pointerTo('/parts', id, key);
    if (part.identity === undefined)
      yield {
        pointer,
        message: `${id} ${belongs}, and has no serial number by which it is known again.`,
        remedy: `Add identity: with the shape of its number, and steps that identify it.`,
        ...other,
      };
    else if (part.per === undefined && several)
      yield {
        severity: 'warning',
        pointer,
        message: `${id} ${belongs}, and there is one of it for the whole engine.`,
        remedy: 'Add per: bore.',
        ...other,
      };
  }
}
