import { isDeepStrictEqual } from 'node:util';
import type { Trial } from '@ferrule/engine';
import { readPackFromFiles } from '@ferrule/source';

/** Letters before a list or a map is broken into lines of its own. */
const WIDEST = 100;

/**
 * Trials as the YAML of a file under `trials/`, written as a person would: sections in blocks, what is short in one line.
 * Every scalar is text; quotes stand only where YAML would read something else.
 */
export function writeTrials(trials: Readonly<Record<string, Trial>>, heading: string): string {
  const lines = heading.split('\n').map((line) => `# ${line}`.trimEnd());
  lines.push('trials:');
  for (const [name, trial] of Object.entries(trials)) {
    const { trial: _, ...rest } = trial;
    lines.push(...listed(mapping({ trial: name, ...rest }, 0)).map((line) => `  ${line}`), '');
  }
  const text = `${lines.join('\n').trimEnd()}\n`;
  const read = readPackFromFiles(
    new Map([
      ['pack.yaml', "format: '1'\n"],
      ['trials/written.yaml', text],
    ]),
  );
  if (!isDeepStrictEqual(plain(read.document['trials'] ?? {}), plain(trials)))
    throw new Error('trials are not read back as they were written');
  return text;
}

/** Maps without a prototype become like any other. */
const plain = (value: unknown): unknown => JSON.parse(JSON.stringify(value));

type Tree = string | readonly Tree[] | { readonly [key: string]: Tree };

/** Lines of a map in block style. */
function mapping(map: object, depth: number): readonly string[] {
  return Object.entries(map).flatMap(([key, value]: [string, Tree | undefined]) => {
    if (value === undefined) return [];
    const name = scalar(key);
    const whole = `${name}: ${flow(value)}`;
    const isSection = depth < 2 && typeof value === 'object' && !Array.isArray(value) && isDeep(key, value);
    if (!isSection && (typeof value === 'string' || whole.length <= WIDEST)) return [whole];
    if (isList(value)) return [`${name}:`, ...value.flatMap((one) => listed([flow(one)])).map(indented)];
    return typeof value === 'string' ? [whole] : [`${name}:`, ...mapping(value, depth + 1).map(indented)];
  });
}

const isList = (value: Tree): value is readonly Tree[] => Array.isArray(value);

/** What a trial is made of stands in lines of its own, however short it is. */
const isDeep = (key: string, value: object): boolean =>
  key === 'answers' || key === 'expect' || Object.keys(value).length > 3;

const indented = (line: string): string => `  ${line}`;

/** Lines as one item of a list. */
const listed = (lines: readonly string[]): readonly string[] =>
  lines.map((line, place) => (place === 0 ? `- ${line}` : `  ${line}`));

function flow(value: Tree): string {
  if (typeof value === 'string') return scalar(value);
  if (isList(value)) return `[${value.map(flow).join(', ')}]`;
  const entries = Object.entries(value).map(([key, one]) => `${scalar(key)}: ${flow(one)}`);
  return entries.length === 0 ? '{}' : `{ ${entries.join(', ')} }`;
}

const PLAIN = /^[\p{L}\d.+/-](?:[\p{L}\d ._@/°·%=+;()-]*[\p{L}\d._@/°·%=+;()-])?$/u;

/** Words and numbers that a common reader of YAML takes for something else than text. */
const READ_OTHERWISE =
  /^(?:-.*-|[-+.]|---.*|true|false|yes|no|on|off|null|~|[-+]?[\d.]+(?:e[-+]?\d+)?|\d{4}-\d\d-\d\d.*|0[xo].*)$/i;

const scalar = (text: string): string =>
  PLAIN.test(text) && !text.startsWith('- ') && !READ_OTHERWISE.test(text)
    ? text
    : `'${text.replaceAll("'", "''")}'`;
