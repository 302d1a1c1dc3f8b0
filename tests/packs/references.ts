import type { Span } from '@ferrule/engine';
import { type PackReading, readPackFromFiles } from '@ferrule/source';

/** One place where a pack names something that it declares. */
export interface Reference {
  /** The pointer with what an author chose left out: `/procedures/*\/steps/*\/read`. */
  readonly kind: string;
  readonly name: string;
  /** Where the name itself stands. */
  readonly span: Span;
}

type Json = string | readonly Json[] | { readonly [key: string]: Json };
const isMap = (value: Json): value is { readonly [key: string]: Json } =>
  typeof value === 'object' && !Array.isArray(value);

/** Maps whose keys are declarations. */
const declaring: readonly RegExp[] = [
  /^\/(?:roles|conditions|hazards|equipment|supplies|instruments|parts|joints|fields|states|operations|variants|holds|procedures|trials)$/,
  /^\/variants\/[^/]+\/(?:marks|facts)$/,
  /^\/procedures\/[^/]+\/(?:readings|observations|derived|tolerances|holds)$/,
  /^\/procedures\/[^/]+\/observations\/[^/]+\/answers$/,
];
const declares = (path: string): boolean => declaring.some((one) => one.test(path));
/** Keys whose text declares a name. */
const declaringKeys: ReadonlySet<string> = new Set(
  'step block choose each law id as trial pack takes is'.split(' '),
);
/** Texts for people, in which only what stands in braces names something. */
const prose = new Set(
  'title do text says note measurand source held-by proved-by notice instructions due-next reason because turn-until photograph running-direction park identity'.split(
    ' ',
  ),
);
/** Texts that an author chooses freely: who somebody is, what is typed, what a loop goes over. */
const free: readonly RegExp[] = [
  /\/observations\/[^/]+\/answers\/[^/]+$/,
  /^\/trials\/.+\/(?:persons|fields|identities)\/[^/]+$/,
  /^\/trials\/.+\/not-applicable$/,
  /\/of\/\d+$/,
  // Words of the format, not of the pack.
  /\/(?:when|by|outcome|refused|quantity|signal|redo|rule|sequence)$/,
  /^\/(?:parts|states)\/[^/]+\/per$/,
  /^\/variants\/[^/]+\/facts\/[^/]+$/,
];
/** Names that need no declaration. */
const builtIn: readonly string[] =
  'variant plan stops bores crank follower on-base-circle turn-crank every-bore any-bore no-bore rotation'.split(
    ' ',
  );

/** Of these, keys that the format has: one that is mistyped is another matter. */
const formatKeys: ReadonlySet<string> = new Set(['variant', 'rotation', 'stops']);

/** Every name that a pack declares. */
function declaredNames(document: Json): ReadonlySet<string> {
  const names = new Set(builtIn);
  const visit = (value: Json, path: string): void => {
    if (typeof value === 'string') return;
    for (const [key, inside] of Object.entries(value)) {
      if (isMap(value) && declares(path)) names.add(key);
      if (isMap(value) && declaringKeys.has(key))
        for (const one of [inside].flat()) if (typeof one === 'string') names.add(one);
      visit(inside, `${path}/${key}`);
    }
  };
  visit(document, '');
  return names;
}

/**
 * The references of a pack, in the order of reading: every word that is the name of something declared, in a value or a
 * key that does not declare. Names of one or two letters are left out: one letter of them is no slip but another word.
 */
export function referencesOf(files: ReadonlyMap<string, string>): readonly Reference[] {
  const bytes = [...files].map(([path, text]) => [path, new TextEncoder().encode(text)] as const);
  const { document, positions }: PackReading = readPackFromFiles(new Map(bytes));
  const names = declaredNames(document as Json);
  const found: Reference[] = [];
  const look = (span: Span | undefined, kind: string, onlyBraces: boolean): void => {
    if (span === undefined || span.line !== span.endLine) return;
    const line = files.get(span.file)?.split('\n')[span.line - 1] ?? '';
    const written = line.slice(span.column - 1, span.endColumn - 1);
    const parts = onlyBraces ? [...written.matchAll(/(?<=\{)[^}]+/g)] : [...written.matchAll(/^.*$/g)];
    for (const part of parts)
      for (const { 0: name, index } of part[0].matchAll(/[a-z][a-z0-9]*(?:-[a-z0-9]+)*/g)) {
        if (name.length < 3 || !names.has(name)) continue;
        const column = span.column + part.index + index;
        found.push({ kind, name, span: { ...span, column, endColumn: column + name.length } });
      }
  };
  const visit = (value: Json, path: string, kind: string, key: string): void => {
    if (typeof value === 'string') {
      const isDeclaration = declaringKeys.has(key) || (key === 'procedure' && !path.startsWith('/trials/'));
      if (!isDeclaration && !free.some((one) => one.test(path)))
        look(positions.value(path), kind, prose.has(key));
      return;
    }
    for (const [name, inside] of Object.entries(value)) {
      const at = `${path}/${name.replaceAll('~', '~0').replaceAll('/', '~1')}`;
      const isName = names.has(name.split(/[@.]/)[0] ?? '') && !builtIn.includes(name);
      const next = `${kind}/${Array.isArray(value) || declares(path) || isName ? '*' : name}`;
      if (isMap(value) && !declares(path) && names.has(name.split(/[@.]/)[0] ?? '') && !formatKeys.has(name))
        look(positions.key(at), `${next} (key)`, false);
      visit(inside, at, next, Array.isArray(value) ? key : name);
    }
  };
  visit(document as Json, '', '', '');
  return found;
}
