import { existsSync } from 'node:fs';
import { dirname } from 'node:path';

/** What the file system did not do, in plain words. */
export interface FileTrouble {
  /** Its own word, such as ENOSPC. */
  readonly code: string;
  /** What is in the way, as a sentence. */
  readonly says: string;
  /** What would take it away, without its end; undefined where nothing would. */
  readonly fix?: string;
}

type Trouble = readonly [says: string, fix?: string];

const FOLDER_IS_FILE: Trouble = [
  'A file stands where its folder would have to be.',
  'See that every folder of its name is one',
];
const TOO_LONG: Trouble = ['Its name is longer than the system takes.', 'Shorten it'];
const always: Readonly<Record<string, Trouble>> = {
  ENOTDIR: FOLDER_IS_FILE,
  ENAMETOOLONG: TOO_LONG,
  ELOOP: ['Its links lead round in a circle.', 'Mend the links'],
  EBUSY: ['Another program keeps it to itself.', 'End that program'],
  EMFILE: ['Too many files are open.', 'End other programs'],
  ENFILE: ['Too many files are open.', 'End other programs'],
  EIO: ['The disk has failed at it.', 'Have the disk seen to'],
};
const NO_RIGHT_TO_WRITE: Trouble = [
  'You have no right to write there.',
  'Ask whoever may give you that right',
];
const NO_ROOM: Trouble = ['There is no room left for it.', 'Make room'];
const NO_RIGHT_TO_READ: Trouble = ['You have no right to read it.', 'Ask whoever may give you that right'];
const doing: Readonly<Record<'read' | 'write', Readonly<Record<string, Trouble>>>> = {
  read: {
    ENOENT: ['Nothing of this name is there.', 'See that it is spelt right'],
    EISDIR: ['It is a folder.', 'Name a file in it'],
    EACCES: NO_RIGHT_TO_READ,
    EPERM: NO_RIGHT_TO_READ,
  },
  write: {
    ENOENT: ['The folder that it would lie in is not there.', 'Make that folder first'],
    EISDIR: ['It is a folder.', 'Name a file in it'],
    EEXIST: ['Something else has this name.', 'Move that away'],
    EACCES: NO_RIGHT_TO_WRITE,
    EPERM: NO_RIGHT_TO_WRITE,
    EROFS: ['What lies there can only be read.', 'Have that changed'],
    ENXIO: ['It is a pipe, and nobody reads from it.', 'Begin to read from it first'],
    ENOSPC: NO_ROOM,
    EDQUOT: NO_ROOM,
    EFBIG: ['It is larger than a file may be there.', 'Have that limit raised'],
  },
};

/** What is in the way of reading or writing, and what takes it away, by an error that the file system has thrown. */
export function fileTrouble(what: 'read' | 'write', error: unknown): FileTrouble {
  const code = error instanceof Error && 'code' in error ? String(error.code) : 'it failed';
  const [says, fix] = doing[what][code] ??
    always[code] ?? [
      'The system says no more than that.',
      `See that the place is there and that you may ${what} it`,
    ];
  return { code, says, ...(fix === undefined ? {} : { fix }) };
}

/** That a file which the call names cannot be written, why, and what to do: `x.html cannot be written (ENOSPC). …`. */
export function notWritten(path: string, error: unknown): string {
  const { code, says, fix } = fileTrouble('write', error);
  // Below /proc and the like folders are there, and hold no more than they do.
  if (code === 'ENOENT' && existsSync(dirname(path)))
    return `${path} cannot be written (${code}). Nothing can be put there. Name another place.`;
  return `${path} cannot be written (${code}). ${says} ${orElse(fix, 'place')}`;
}

/** That a folder which the call names cannot be made, why, and what to do. */
export function notMade(folder: string, error: unknown): string {
  const { code, says, fix } = fileTrouble('write', error);
  // Those around it were made before, wherever one can be.
  if (code === 'ENOENT')
    return `the folder ${folder} cannot be made (${code}). No folder can be made there. Name another place.`;
  return `the folder ${folder} cannot be made (${code}). ${says} ${orElse(fix, 'place')}`;
}

/** That a file which the call names cannot be read, why, and what to do. */
export function notRead(path: string, error: unknown): string {
  const { code, says, fix } = fileTrouble('read', error);
  return `${path} cannot be read (${code}). ${says} ${orElse(fix, 'one')}`;
}

const orElse = (fix: string | undefined, what: string): string =>
  fix === undefined ? `Name another ${what}.` : `${fix}, or name another ${what}.`;
