import { nearest, type Pack, pointerTo, type Report } from '@ferrule/engine';
import type { Neighbours } from '@ferrule/source';
import { writtenSteps } from './written-steps.ts';

/** Something of another pack that a pack names, and where: the pointer leads to what has the keys `pack` and `procedure`. */
export interface NamedElsewhere {
  readonly pack: string;
  readonly procedure: string;
  readonly pointer: string;
}

/** Everything of other packs that a pack names. */
export function namedElsewhere(pack: Pack): readonly NamedElsewhere[] {
  return writtenSteps(pack).flatMap(({ step, pointer }) => {
    const to = step['refer-to'];
    return to === undefined || to.pack === pack.pack
      ? []
      : [{ pack: to.pack, procedure: to.procedure, pointer: pointerTo(pointer, 'refer-to') }];
  });
}

/** Reports what is named of packs that stand beside this one and is not there. Where none stands beside it nothing is said. */
export function reportNeighbours(pack: Pack, { names, newest }: Neighbours, report: Report): void {
  if (names.length === 0) return;
  for (const { pack: name, procedure, pointer } of namedElsewhere(pack)) {
    const say = (key: string, message: string, remedy: string): void =>
      report.add('not-beside', pointerTo(pointer, key), message, { severity: 'warning', remedy });
    if (!names.includes(name)) {
      const meant = nearest(name, names);
      say(
        'pack',
        `There is no pack ${name} beside this one.`,
        meant === undefined ? `Beside it stand ${names.join(', ')}.` : `Did you mean ${meant}?`,
      );
      continue;
    }
    const found = newest.get(name);
    // What cannot be read is told where that pack is checked.
    const procedures = found?.document['procedures'];
    if (found === undefined || typeof procedures !== 'object') continue;
    const known = Object.keys(procedures);
    if (known.includes(procedure)) continue;
    const meant = nearest(procedure, known);
    say(
      'procedure',
      `${name} ${found.revision}, which stands beside this pack, has no procedure ${procedure}.`,
      meant === undefined ? `It has ${known.join(', ')}.` : `Did you mean ${meant}?`,
    );
  }
}
