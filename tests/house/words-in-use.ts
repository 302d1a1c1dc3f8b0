import { execFile } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { promisify } from 'node:util';
import { verbs } from '../../packages/cli/src/verbs/index.ts';
import { labelsOfPage } from './words-of-page.ts';

/** Words by their kind, such as `format key` or `verb`. */
export type WordsByKind = ReadonlyMap<string, ReadonlySet<string>>;

const root = fileURLToPath(new URL('../..', import.meta.url));
const run = promisify(execFile);

class Gathering {
  readonly #words = new Map<string, Set<string>>();

  add(kind: string, words: Iterable<string>): void {
    const known = this.#words.get(kind) ?? new Set();
    for (const word of words) known.add(word);
    this.#words.set(kind, known);
  }

  get words(): WordsByKind {
    return this.#words;
  }
}

/** Definitions of the schema whose words are of a kind of their own. */
const kindOfDefinition: Readonly<Record<string, string>> = {
  QuantityKind: 'quantity kind',
  RefusalCode: 'refusal',
};

const isMap = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
const textsIn = (value: unknown): readonly string[] =>
  [value].flat().filter((item): item is string => typeof item === 'string');

/** Every key and every fixed word that a JSON Schema lets an author write. */
export function wordsOfSchema(schema: unknown): WordsByKind {
  const found = new Gathering();
  const visit = (value: unknown, definition: string): void => {
    if (Array.isArray(value)) for (const item of value) visit(item, definition);
    if (!isMap(value)) return;
    found.add(kindOfDefinition[definition] ?? 'format word', [
      ...textsIn(value['enum']),
      ...textsIn(value['const']),
    ]);
    if (isMap(value['properties'])) found.add('format key', Object.keys(value['properties']));
    for (const [key, item] of Object.entries(value)) {
      if (key === '$defs' && isMap(item)) for (const [name, each] of Object.entries(item)) visit(each, name);
      else if ((key === 'properties' || key === 'patternProperties') && isMap(item))
        for (const each of Object.values(item)) visit(each, definition);
      else if (!['enum', 'const', 'x-example', 'examples', 'required'].includes(key)) visit(item, definition);
    }
  };
  visit(schema, '');
  return found.words;
}

/** What the words of an exported list are. A list that holds no words of ours says `none`. */
const kindOfList: Readonly<Record<string, string>> = {
  plainKinds: 'quantity kind',
  ALLOWED: 'operator',
  NAMING: 'operator',
  verdicts: 'state',
  decisionRuleNames: 'format word',
  partValues: 'state',
  entryValues: 'state',
  truthValues: 'state',
  jobStates: 'state',
  rejudgingStates: 'state',
  findingCodes: 'finding',
  signalNames: 'signal',
  factKinds: 'fact',
  commandNames: 'command',
  namedSections: 'format key',
  silentKinds: 'none',
  refusalCodes: 'refusal',
  diagnosticCodes: 'diagnostic code',
  builtInNames: 'built-in name',
  problemCodes: 'problem code',
  screenLabels: 'screen label',
  terminalWords: 'terminal word',
  cardColumns: 'column of the card',
  jobColumns: 'column of a list of jobs',
  useColumns: 'column of the uses of an instrument',
  readingsColumns: 'column of readings against limits',
  rejudgedColumns: 'column of jobs judged again',
  outcomes: 'outcome',
  cannotReasonNames: 'reason why not',
  asideReasonNames: 'reason why not',
  changeClassNames: 'change',
  changeWeights: 'weight',
  revisionLevels: 'level of a revision',
};

/** The exported lists of words of some modules, and the lists that nobody has said the kind of. */
export function wordsOfModules(modules: readonly Readonly<Record<string, unknown>>[]): {
  readonly words: WordsByKind;
  readonly unknownLists: readonly string[];
} {
  const found = new Gathering();
  const unknownLists = new Set<string>();
  for (const [name, value] of modules.flatMap((module) => Object.entries(module))) {
    if (!Array.isArray(value) || value.length === 0 || textsIn(value).length !== value.length) continue;
    const kind = kindOfList[name];
    if (kind === undefined) unknownLists.add(name);
    else if (kind !== 'none') found.add(kind, textsIn(value));
  }
  return { words: found.words, unknownLists: [...unknownLists] };
}

/** The verbs and options that a help text of the command lists. */
export function wordsOfHelp(help: string): {
  readonly verbs: readonly string[];
  readonly options: readonly string[];
} {
  const verbs: string[] = [];
  const options: string[] = [];
  let section = '';
  for (const line of help.split('\n')) {
    if (/^\S/.test(line)) section = line;
    const [, term] = /^ {2}(\S.*?)(?: {2,}|$)/.exec(line) ?? [];
    if (term === undefined) continue;
    if (/^Commands:/.test(section)) verbs.push((term.split(/[ |]/)[0] ?? '').trim());
    if (/options:/i.test(section)) options.push(...(term.match(/--[a-z][a-z-]*/g) ?? []));
  }
  return { verbs, options };
}

async function helpOf(verbs: readonly string[]): Promise<string> {
  const { stdout } = await run(process.execPath, [
    join(root, 'packages/cli/bin/ferrule.js'),
    ...verbs,
    '--help',
  ]);
  return stdout;
}

/** Asks the command for its help, and each of its verbs for theirs. */
async function wordsOfCommand(): Promise<WordsByKind> {
  const found = new Gathering();
  const ask = async (path: readonly string[]): Promise<void> => {
    const { verbs, options } = wordsOfHelp(await helpOf(path));
    found.add('verb', verbs);
    found.add('option', options);
    for (const verb of verbs) if (verb !== 'help') await ask([...path, verb]);
  };
  await ask([]);
  // Help lists no verb that works in a checkout alone.
  const hidden = verbs.filter((verb) => verb.hidden === true).map(({ name }) => name);
  found.add('verb', hidden);
  for (const verb of hidden) await ask([verb]);
  return found.words;
}

async function modulesOfPackages(): Promise<readonly Readonly<Record<string, unknown>>[]> {
  const files = readdirSync(join(root, 'packages'), { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.ts') && !entry.name.endsWith('.d.ts'))
    .map((entry) => join(entry.parentPath, entry.name))
    .filter((file) => /packages[\\/][^\\/]+[\\/]src[\\/]/.test(file) && !file.includes('generated'))
    // Importing this one would run the command.
    .filter((file) => !/cli[\\/]src[\\/]main\.ts$|packages[\\/]page[\\/]/.test(file));
  return Promise.all(files.map((file) => import(pathToFileURL(file).href)));
}

/** Every word that Ferrule shows or reads, by kind, and the exported lists that nobody has said the kind of. */
export async function wordsInUse(): Promise<{
  readonly words: WordsByKind;
  readonly unknownLists: readonly string[];
}> {
  // What editors know of a file of sections has the manifest of libraries in it as well.
  const schemas = ['engine/schema/pack', 'engine/schema/section-file', 'source/schema/policy'].map(
    (kind): unknown => JSON.parse(readFileSync(join(root, `packages/${kind}.schema.json`), 'utf8')),
  );
  const listed = wordsOfModules(await modulesOfPackages());
  const all = new Gathering();
  for (const words of [...schemas.map(wordsOfSchema), listed.words, await wordsOfCommand()])
    for (const [kind, those] of words) all.add(kind, those);
  all.add('label of the page', await labelsOfPage(join(root, 'packages/page/src')));
  return { words: all.words, unknownLists: listed.unknownLists };
}
