import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, dirname, join, posix, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { makeFolder } from '@ferrule/records';
import { fileTrouble, notMade, notRead, notWritten } from '@ferrule/signing';
import { callOf } from '../terminal/call.ts';
import { deferral } from '../terminal/deferral.ts';
import type { ExitCode } from '../terminal/exit-code.ts';
import type { Format } from '../terminal/format-option.ts';
import { say, sayJson } from '../terminal/output.ts';
import { wrap } from '../terminal/wrap.ts';
import { callFault } from './open-pack.ts';

/** The bundle lies in packages/cli/dist, the files that a first pack is made from beside it. */
const template = fileURLToPath(new URL('../template/', import.meta.url));
const files = ['pack.yaml', 'procedures/set-gap.yaml', 'trials/set-gap.yaml'];

/** Writes a first pack into a folder that is not there or empty, and says what to do next. Nothing is overwritten. */
export function newPack(folder: string, format: Format): ExitCode {
  const full = faultOf(folder);
  if (full !== undefined) return callFault(full).exitCode;
  const { name, title, revision } = namesFrom(folder);
  for (const file of files) {
    const text = readFileSync(join(template, file), 'utf8')
      .replace(/^pack: .*$/m, `pack: ${name}`)
      .replace(/^title: TITLE$/m, `title: ${title}`)
      .replace(/^revision: .*$/m, `revision: ${revision}`);
    try {
      makeFolder(dirname(join(folder, file)));
    } catch (fault) {
      return callFault(notMade(dirname(join(folder, file)), fault)).exitCode;
    }
    try {
      writeFileSync(join(folder, file), text, { flag: 'wx' });
    } catch (fault) {
      return callFault(notWritten(join(folder, file), fault)).exitCode;
    }
  }
  const job = ['--procedure', 'set-gap', '--variant', 'first-engine'];
  const next = [
    ['check it, again after each change: --watch does it whenever a file is saved', ['check', folder]],
    ['try it, and see what no trial reaches', ['trial', folder]],
    ['do the job in the terminal', ['run', folder, ...job]],
    ['print it', ['sheet', folder, ...job, '--out', 'sheet.html']],
  ] as const;
  if (format === 'json') {
    const calls = next.map(([, words]) => callOf(...words));
    sayJson({ folder, pack: name, revision, files, next: calls });
    return 0;
  }
  const at = folder.replaceAll('\\', '/');
  say(
    [
      `${name} ${revision} is written:`,
      ...files.map((file) => `  ${posix.join(at, file)}`),
      '',
      wrap('Its comments say what each key is for. All values in it are demonstration data. Next:'),
      ...next.flatMap(([what, words]) => [wrap(what, '  - ', '    '), `      ${callOf(...words)}`]),
      '',
      wrap('docs/tutorial.md builds a pack step by step, and docs/format.md has every key with an example.'),
      wrap(deferral),
    ].join('\n'),
  );
  return 0;
}

/** Why nothing can be written into the folder; undefined when it is not there yet, or empty. */
function faultOf(folder: string): string | undefined {
  try {
    return readdirSync(folder).length === 0
      ? undefined
      : `${folder} is not empty, and nothing was written. Name a new folder.`;
  } catch (fault) {
    const { code } = fileTrouble('read', fault);
    if (code === 'ENOENT') return undefined;
    if (code === 'ENOTDIR') return `${folder} is a file or lies in one. Name a new folder.`;
    return notRead(folder, fault);
  }
}

const LONGEST_NAME = 64;
const REVISION = /^\d+\.\d+\.\d+$/;

/** Name, title and revision of a pack in a folder such as `valve-clearance` or `valve-clearance/1.0.0`. */
function namesFrom(folder: string): {
  readonly name: string;
  readonly title: string;
  readonly revision: string;
} {
  const path = resolve(folder);
  const last = basename(path);
  const isRevision = REVISION.test(last);
  const plain = (isRevision ? basename(dirname(path)) : last)
    .normalize('NFKD')
    .replace(/\p{M}+/gu, '')
    .toLowerCase()
    .split(/[^a-z0-9]+/)
    .filter((word) => word !== '')
    .join('-');
  const name =
    (/^[a-z]/.test(plain) ? plain : `pack-${plain}`).slice(0, LONGEST_NAME).replace(/-+$/, '') || 'pack';
  const words = name.replaceAll('-', ' ');
  return {
    name,
    title: `${words.charAt(0).toUpperCase()}${words.slice(1)}, a first pack`,
    revision: isRevision ? last : '0.1.0',
  };
}
