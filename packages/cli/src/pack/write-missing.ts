import { mkdirSync, writeFileSync } from 'node:fs';
import { join, posix } from 'node:path';
import { type Drafts, writeTrials } from '@ferrule/check';
import type { Positions } from '@ferrule/source';
import { wrap } from '../terminal/wrap.ts';
import { writePlace } from './write-diagnostic.ts';

const HEADING = [
  'Drafts that were made for what no trial reached. Each was run, and comes to what the plan says.',
  'Whether the plan is right only a person can say: look each one over, give it a name and words of its own,',
  'move it to the trials that it belongs to, and strike the others.',
].join('\n');

/** Numbers that are tried for a file that is not there yet. */
const MOST_FILES = 1000;

/** Writes drafts into a new file of the pack, and never over one that is there. Answers its path, or nothing if there is no draft. */
export function writeMissing(folder: string, { trials }: Drafts): string | undefined {
  if (Object.keys(trials).length === 0) return undefined;
  const text = writeTrials(trials, HEADING);
  mkdirSync(join(folder, 'trials'), { recursive: true });
  for (let number = 1; number <= MOST_FILES; number++) {
    const file = `trials/drafts${number === 1 ? '' : `-${number}`}.yaml`;
    try {
      writeFileSync(join(folder, file), text, { flag: 'wx' });
      return posix.join(folder.replaceAll('\\', '/'), file);
    } catch (fault) {
      if (!(fault instanceof Error && 'code' in fault && fault.code === 'EEXIST')) throw fault;
    }
  }
  throw new Error(`${folder} has ${MOST_FILES} files of drafts already`);
}

/** What was written and what was not, for a person. */
export function saysMissing(
  folder: string,
  { trials, failed }: Drafts,
  file: string | undefined,
  positions: Positions,
): string {
  const count = Object.keys(trials).length;
  const written =
    file === undefined
      ? 'Nothing was drafted.'
      : `${count === 1 ? 'A draft of a trial' : `Drafts of ${count} trials`} written to ${file}. Each was run and comes to what the plan says. Whether that is right, a person has to say: look them over.`;
  return [
    '',
    wrap(written),
    ...(failed.length === 0 ? [] : [`Not drafted: ${failed.length}`]),
    ...failed.map(({ pointer, unreached, why }) =>
      wrap(`${writePlace(folder, positions.nearest(pointer))} ${unreached}: ${why}`, '  ', '    '),
    ),
  ].join('\n');
}
