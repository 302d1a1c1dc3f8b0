import { writeFileSync } from 'node:fs';
import { join, posix } from 'node:path';
import { type Drafts, writeTrials } from '@ferrule/check';
import { makeFolder } from '@ferrule/records';
import { fileTrouble, notMade, notWritten } from '@ferrule/signing';
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

/**
 * Writes drafts into a new file of the pack, and never over one that is there. Answers its path, or none if there is no draft; or
 * why it cannot be written.
 */
export function writeMissing(
  folder: string,
  { trials }: Drafts,
): { readonly file?: string; readonly wrong?: string } {
  if (Object.keys(trials).length === 0) return {};
  const text = writeTrials(trials, HEADING);
  try {
    makeFolder(join(folder, 'trials'));
  } catch (fault) {
    return { wrong: notMade(join(folder, 'trials'), fault) };
  }
  for (let number = 1; number <= MOST_FILES; number++) {
    const file = `trials/drafts${number === 1 ? '' : `-${number}`}.yaml`;
    try {
      writeFileSync(join(folder, file), text, { flag: 'wx' });
      return { file: posix.join(folder.replaceAll('\\', '/'), file) };
    } catch (fault) {
      if (fileTrouble('write', fault).code !== 'EEXIST')
        return { wrong: notWritten(join(folder, file), fault) };
    }
  }
  return {
    wrong: `${folder} has ${MOST_FILES} files of drafts already. Look those over first, and move or strike them.`,
  };
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
