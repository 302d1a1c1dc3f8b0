import { compareDiagnostics, type Diagnostic, type DiagnosticCode, namedSections } from '@ferrule/engine';
import type { Digest, ReleaseState } from '@ferrule/signing';
import { bundleOf } from './bundle.ts';
import type { Chosen } from './choose-files.ts';
import type { FileReadings } from './file-readings.ts';
import type { Placed } from './placed.ts';
import { pointerOf } from './pointer.ts';
import { positionsOf } from './positions.ts';
import { type PackFile, type ReadFiles, readFiles } from './read-files.ts';
import { isList, isMapping, type SourceMapping, type SourceValue } from './source-value.ts';
import { partOf, type Range, type Spot, spanOf } from './spot.ts';

export interface PackReading extends ReadFiles {
  /** The libraries that the pack takes from, with the digest that each has. */
  readonly libraries: readonly {
    readonly name: string;
    readonly revision: string;
    readonly digest: Digest;
  }[];
  /** Where the files of the overlay are that was laid over it, from the folder of the pack. */
  readonly overlay?: string;
  /** How the pack was released, and the overlay, where they were read from their folders. */
  readonly release?: ReleaseState;
  readonly overlayRelease?: ReleaseState;
}

/** The files of a library's folder. */
export interface LibraryFiles extends Chosen {
  readonly contents: ReadonlyMap<string, Uint8Array | string>;
}

/** A library as a pack names it. */
interface UsedLibrary {
  readonly name: string;
  readonly revision: string;
  readonly digest: string;
}

const ownKeys = ['format', 'library', 'revision', 'title', 'source', 'notice', 'interlocks'];

/** The keys of a document that no library has; those of its author's own begin with x-. */
export const strayKeys = (document: SourceMapping): readonly string[] =>
  Object.keys(document).filter(
    (key) => !ownKeys.includes(key) && !namedSections.some((one) => one === key) && !key.startsWith('x-'),
  );

/** Which keys a library has, for whoever wrote another one. */
export const whatLibrariesHold = `A library has ${namedSections.join(', ')} and interlocks.`;

/** Both become parts of a path, and lead nowhere else. They are those of the written format. */
const NAME = /^[a-z][a-z0-9]*(-[a-z0-9]+)*$/;
const REVISION = /^[0-9]+\.[0-9]+\.[0-9]+(-[0-9A-Za-z.-]+)?$/;

/** The libraries that a document says it uses, as far as it says so in the right form; validation reports the rest. */
export function usedLibraries({ uses }: SourceMapping): readonly UsedLibrary[] {
  if (!isMapping(uses)) return [];
  return Object.entries(uses).flatMap(([name, pinned]) => {
    if (!isMapping(pinned) || !NAME.test(name)) return [];
    const { revision, digest } = pinned;
    if (typeof revision !== 'string' || typeof digest !== 'string' || !REVISION.test(revision)) return [];
    return [{ name, revision, digest }];
  });
}

/**
 * The pack with what it takes from its libraries: everything that it names and does not declare itself, with all that
 * this names in turn; and the laws over states and operations that are all there. What it names is found by the words
 * that stand in it. What both declare is reported, except that a variant of a pack adds to that of a library: nothing is
 * ever replaced in silence. `libraries` are the files that were found, each under `name/revision`.
 */
export function takeLibraries(
  pack: ReadFiles,
  libraries: ReadonlyMap<string, LibraryFiles>,
  readings?: FileReadings,
): PackReading {
  const taking = new Taking(pack, readings);
  for (const used of usedLibraries(pack.document))
    taking.read(used, libraries.get(`${used.name}/${used.revision}`));
  return taking.result();
}

/** A library that was read, with where it is named. */
interface Library extends UsedLibrary {
  readonly files: ReadFiles;
}

class Taking {
  readonly #pack: ReadFiles;
  readonly #libraries: Library[] = [];
  readonly #pinned: PackReading['libraries'][number][] = [];
  readonly #diagnostics: Diagnostic[];
  readonly #files: PackFile[];
  readonly #readings: FileReadings | undefined;

  constructor(pack: ReadFiles, readings: FileReadings | undefined) {
    this.#pack = pack;
    this.#readings = readings;
    this.#diagnostics = [...pack.diagnostics];
    this.#files = [...pack.files];
  }

  /** Reads a library, and holds it against what the pack says of it. */
  read(used: UsedLibrary, found: LibraryFiles | undefined): void {
    const { name, revision } = used;
    const at = ['uses', name];
    if (found === undefined) {
      this.#report(
        'missing-library',
        at,
        `There is no library ${name} in revision ${revision} beside this pack.`,
        {
          remedy: `It has to stand in the folder ${name}/${revision}, beside the folder ${String(this.#pack.document['pack'] ?? 'of the pack')}.`,
        },
      );
      return;
    }
    const folder = `../../${name}/${revision}/`;
    const already = found.diagnostics.map((one) =>
      one.span === undefined ? one : { ...one, span: { ...one.span, file: folder + one.span.file } },
    );
    const files = readFiles(found.paths, found.contents, already, folder, this.#readings);
    this.#files.push(...files.files);
    this.#diagnostics.push(...files.diagnostics);
    if (files.diagnostics.length > 0) return;
    const { document } = files;
    if (document['library'] !== name || document['revision'] !== revision) {
      const says = `${String(document['library'] ?? 'no name')} in revision ${String(document['revision'] ?? 'none')}`;
      this.#report('missing-library', at, `What stands in ${name}/${revision} says that it is ${says}.`, {
        remedy: 'Put the right library there, or name the one that is meant.',
        other: files.root.value,
      });
      return;
    }
    for (const key of strayKeys(document)) {
      const spot = partOf(files.root, key);
      this.#diagnostics.push({
        ...{ code: 'unknown-key', severity: 'error', pointer: pointerOf([key]) },
        message: `The key ${key} is not known in a library.`,
        remedy: whatLibrariesHold,
        ...(spot?.key === undefined ? {} : { span: spanOf(spot.key) }),
      });
    }
    const { digest } = bundleOf(document);
    this.#pinned.push({ name, revision, digest });
    if (digest !== used.digest) {
      this.#report(
        'library-digest',
        [...at, 'digest'],
        `${name} ${revision} is not what it was: its digest is ${digest}.`,
        {
          remedy: `If it was changed on purpose, write this digest here; a library that packs were released with gets a new revision instead.`,
        },
      );
    }
    this.#libraries.push({ ...used, files });
  }

  result(): PackReading {
    const { document, root, positions } = this.#pack;
    const common = () => ({
      diagnostics: this.#diagnostics.sort(compareDiagnostics),
      files: this.#files,
      libraries: this.#pinned,
    });
    if (this.#libraries.length === 0) return { document, root, positions, ...common() };
    const named = this.#named();
    const parts = new Map(root.parts instanceof Map ? root.parts : []);
    const whole: Record<string, SourceValue> = { ...document };
    for (const section of namedSections) {
      for (const library of this.#libraries) {
        const there = library.files.document[section];
        if (!isMapping(there)) continue;
        for (const [name, value] of Object.entries(there))
          if (named.has(wordFor(section, name))) this.#add(whole, parts, section, name, value, library);
      }
    }
    for (const library of this.#libraries) {
      addLaws(whole, parts, library);
      const { notice } = library.files.document;
      if (whole['notice'] !== undefined || notice === undefined) continue;
      whole['notice'] = notice;
      parts.set('notice', partOf(library.files.root, 'notice') ?? {});
    }
    const merged = { ...root, parts };
    return { document: whole, root: merged, positions: positionsOf(merged), ...common() };
  }

  /** Every word that stands in the pack, in what it takes by that word, and so on. Trials name nothing new. */
  #named(): ReadonlySet<string> {
    const { trials: _, uses: __, ...document } = this.#pack.document;
    const words = new Set<string>();
    const waiting: SourceValue[] = [document];
    const taken = new Set<SourceValue>();
    for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
      collectWords(next, words);
      for (const library of this.#libraries) {
        for (const section of namedSections) {
          const there = library.files.document[section];
          if (!isMapping(there)) continue;
          for (const [name, value] of Object.entries(there)) {
            if (!words.has(wordFor(section, name)) || taken.has(value)) continue;
            taken.add(value);
            waiting.push(value);
          }
        }
      }
    }
    return words;
  }

  #add(
    whole: Record<string, SourceValue>,
    parts: Map<string, Spot>,
    section: string,
    name: string,
    value: SourceValue,
    library: Library,
  ): void {
    const spot = partOf(partOf(library.files.root, section) ?? {}, name) ?? {};
    const own = whole[section];
    const here = parts.get(section) ?? {};
    if (own !== undefined && !isMapping(own)) return;
    const present = own?.[name];
    const present_ = partOf(here, name);
    const joined =
      present === undefined
        ? { value, spot }
        : section === 'variants'
          ? this.#joined([section, name], { value: present, spot: present_ ?? {} }, { value, spot }, library)
          : undefined;
    if (joined === undefined) {
      this.#report(
        'duplicate-name',
        [section, name],
        `The library ${library.name} declares ${name} as well.`,
        {
          remedy: 'Leave one of them out, or give it another name.',
          at: present_?.key,
          other: spot.key ?? spot.value,
        },
      );
      return;
    }
    whole[section] = { ...own, [name]: joined.value };
    const inside = new Map(here.parts instanceof Map ? here.parts : []);
    inside.set(name, joined.spot);
    parts.set(section, { ...here, parts: inside });
  }

  /** A variant of the pack and that of the library, map by map; what both say is reported, and the pack's is kept. */
  #joined(at: readonly string[], own: Placed, more: Placed, library: Library): Placed {
    if (!isMapping(own.value) || !isMapping(more.value)) {
      this.#report('duplicate-name', at, `The library ${library.name} says ${at.at(-1)} as well.`, {
        remedy: 'Leave it out here, or take another variant.',
        at: own.spot.key,
        other: more.spot.key ?? more.spot.value,
      });
      return own;
    }
    const value: Record<string, SourceValue> = { ...own.value };
    const inside = new Map(own.spot.parts instanceof Map ? own.spot.parts : []);
    for (const [key, item] of Object.entries(more.value)) {
      const there = { value: item, spot: partOf(more.spot, key) ?? {} };
      const here = value[key];
      const joined =
        here === undefined
          ? there
          : this.#joined([...at, key], { value: here, spot: inside.get(key) ?? {} }, there, library);
      value[key] = joined.value;
      inside.set(key, joined.spot);
    }
    return { value, spot: { ...own.spot, parts: inside } };
  }

  #report(
    code: DiagnosticCode,
    tokens: readonly string[],
    message: string,
    {
      remedy,
      at,
      other,
    }: { readonly remedy: string; readonly at?: Range | undefined; readonly other?: Range | undefined },
  ): void {
    const pointer = pointerOf(tokens);
    const span = at === undefined ? this.#pack.positions.nearest(pointer) : spanOf(at);
    this.#diagnostics.push({
      ...{ code, severity: 'error', pointer, message, remedy },
      ...(span === undefined ? {} : { span }),
      ...(other === undefined
        ? {}
        : { other: [{ pointer, span: spanOf(other), message: 'in the library' }] }),
    });
  }
}

/** How something is found among the words. A procedure is taken where it is performed: one that is not would be a job. */
const wordFor = (section: string, name: string): string =>
  section === 'procedures' ? `perform ${name}` : name;

/** The keys and the texts of a value, whole and in the pieces that dots and @ part: names of things stand so. */
function collectWords(value: SourceValue, words: Set<string>): void {
  if (isMapping(value)) {
    for (const [key, item] of Object.entries(value)) {
      collectWords(key, words);
      collectWords(item, words);
      if (key === 'perform' && typeof item === 'string') words.add(wordFor('procedures', item));
    }
  } else if (isList(value)) for (const item of value) collectWords(item, words);
  else if (value.length <= MOST_IN_A_NAME) for (const word of value.split(/[.@]/)) words.add(word);
}

const MOST_IN_A_NAME = 128;

/** Takes the laws of a library that speak only of states and operations that the pack has. */
function addLaws(whole: Record<string, SourceValue>, parts: Map<string, Spot>, library: Library): void {
  const laws = library.files.document['interlocks'];
  const own = whole['interlocks'];
  if (!isList(laws) || (own !== undefined && !isList(own))) return;
  const known = new Set(['turn-crank', 'crank', 'follower', ...quantifiers]);
  for (const section of ['states', 'operations']) {
    const there = whole[section];
    if (isMapping(there)) for (const name of Object.keys(there)) known.add(name);
  }
  const spots = partOf(library.files.root, 'interlocks') ?? {};
  const here = parts.get('interlocks') ?? {};
  const items = [...(own ?? [])];
  const places = [...(Array.isArray(here.parts) ? here.parts : [])];
  for (const [index, law] of laws.entries()) {
    if (!isMapping(law) || !namesIn(law).every((name) => known.has(name))) continue;
    items.push(law);
    places.push(partOf(spots, String(index)) ?? {});
  }
  if (items.length === (own?.length ?? 0)) return;
  whole['interlocks'] = items;
  parts.set('interlocks', { ...here, parts: places });
}

const quantifiers = ['every-bore', 'any-bore', 'no-bore'];

/** The states and operations that a law speaks of. */
function namesIn(law: SourceMapping): readonly string[] {
  const operations = ['forbid', 'operation'].flatMap((key) => law[key] ?? []).flat();
  const states = ['while', 'entering', 'only-while', 'never'].flatMap((key) => {
    const map = law[key];
    if (!isMapping(map)) return [];
    return Object.entries(map).flatMap(([name, value]) =>
      quantifiers.includes(name) && isMapping(value) ? Object.keys(value) : [name],
    );
  });
  return [...states, ...operations.filter((one) => typeof one === 'string')];
}
