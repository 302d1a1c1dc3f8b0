import type { Plan } from '@ferrule/engine';
import { deferral } from '../terminal/deferral.ts';
import { printable } from '../terminal/output.ts';
import { wrap } from '../terminal/wrap.ts';

/** What every screen of a job begins with: what it is, the notice of its pack, and whom Ferrule defers to. */
export function headingOf({ pack, procedure, variant }: Plan): string {
  return printable(
    [
      `${procedure.title}: ${variant.title}`,
      `${pack.title}, ${pack.id} ${pack.revision}`,
      ...(pack.notice === undefined ? [] : [wrap(pack.notice, 'NOTICE  ')]),
      wrap(deferral),
    ].join('\n'),
  );
}
