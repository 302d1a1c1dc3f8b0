import type { Diagnostic, DiagnosticCode } from '@ferrule/engine';
import { diagnosticOf, type Fault } from './fault.ts';
import { isForbiddenKey, type YamlReading } from './read-yaml.ts';
import { isList, isMapping, type SourceMapping, type SourceValue } from './source-value.ts';
import { partOf, type Range, type Spot } from './spot.ts';

/** A file that was read, with its path in the pack. */
export interface ReadFile extends YamlReading {
  readonly path: string;
}

export interface MergedPack {
  readonly document: SourceMapping;
  readonly root: Spot;
  readonly diagnostics: readonly Diagnostic[];
}

type Rebase = (tokens: readonly string[]) => readonly string[];

/** Folders that hold one thing a file, the key that names it, and the section of the document it goes to. */
export const folders: ReadonlyMap<string, { readonly id: string; readonly list?: string }> = new Map([
  ['procedures', { id: 'procedure' }],
  ['trials', { id: 'trial', list: 'trials' }],
]);

type Section =
  | {
      readonly kind: 'mapping';
      readonly entries: Map<string, SourceValue>;
      readonly parts: Map<string, Spot>;
    }
  | { readonly kind: 'list'; readonly items: SourceValue[]; readonly parts: Spot[] }
  | { readonly kind: 'text'; readonly text: string };

const article = { mapping: 'a mapping', list: 'a list', text: 'a text' } as const;

/**
 * Merges the files of a pack into one document. The top keys of a file in the pack folder are sections:
 * mappings merge key by key, lists concatenate in the order of the files, a text stands once. A file in
 * `procedures` or `trials` becomes one entry of that section under its id, without the key that states the id.
 */
export function mergePack(files: readonly ReadFile[]): MergedPack {
  const merge = new Merge();
  for (const file of files) merge.add(file);
  return merge.result();
}

class Merge {
  readonly #sections = new Map<string, Section>();
  readonly #spots = new Map<string, { key?: Range; value?: Range }>();
  readonly #diagnostics: Diagnostic[] = [];
  #manifest: Range | undefined;

  add({ path, root, faults }: ReadFile) {
    const folder = path.includes('/') ? path.slice(0, path.indexOf('/')) : undefined;
    const naming = folder === undefined ? undefined : folders.get(folder);
    let rebase: Rebase = (tokens) => tokens;
    if (root !== undefined) {
      if (['pack.yaml', 'library.yaml', 'overlay.yaml'].includes(path)) this.#manifest ??= root.spot.value;
      if (folder === undefined || naming === undefined) {
        const isAstray = this.#isAstray(path, root.value, root.spot);
        rebase = isAstray ? () => [] : this.#addSections(root.value, root.spot);
      } else if (naming.list !== undefined && naming.list in root.value) {
        rebase = this.#addNamedList(folder, naming.id, naming.list, root.value, root.spot);
      } else {
        const id = this.#addNamed(folder, naming.id, root.value, root.spot);
        rebase = (tokens) => (id === undefined ? [folder] : [folder, id, ...tokens]);
      }
    }
    this.#diagnostics.push(...faults.map((fault) => diagnosticOf(fault, rebase)));
  }

  result(): MergedPack {
    const document: [string, SourceValue][] = [];
    const parts = new Map<string, Spot>();
    for (const [name, section] of this.#sections) {
      const where = this.#spots.get(name) ?? {};
      if (section.kind === 'mapping') document.push([name, Object.fromEntries(section.entries)]);
      else document.push([name, section.kind === 'list' ? section.items : section.text]);
      parts.set(name, { ...where, ...(section.kind === 'text' ? {} : { parts: section.parts }) });
    }
    const root = { parts, ...(this.#manifest === undefined ? {} : { value: this.#manifest }) };
    return { document: Object.fromEntries(document), root, diagnostics: this.#diagnostics };
  }

  #report(
    code: DiagnosticCode,
    at: readonly string[],
    range: Range | undefined,
    message: string,
    remedy: string,
    other?: Fault['other'],
  ) {
    // Everything that is merged was read from a file and has a place there.
    if (range === undefined) throw new Error(`merge: no place for ${at.join('/')}`);
    const related = other === undefined ? {} : { other };
    this.#diagnostics.push(diagnosticOf({ code, at, range, message, remedy, ...related }));
  }

  /** A file beside the manifest that says by its first key that it belongs into a folder: told once, and not merged. */
  #isAstray(path: string, value: SourceMapping, spot: Spot): boolean {
    for (const [folder, { id }] of folders) {
      if (typeof value[id] !== 'string' || path === 'pack.yaml') continue;
      const message = `This file holds a ${id}, and stands beside pack.yaml.`;
      this.#report('unexpected-key', [], partOf(spot, id)?.key, message, `Move it to ${folder}/${path}.`);
      return true;
    }
    return false;
  }

  #addSections(value: SourceMapping, spot: Spot): Rebase {
    /** Where the items of this file's lists begin in the merged lists. */
    const offsets = new Map<string, number>();
    for (const [name, content] of Object.entries(value)) {
      const own = partOf(spot, name) ?? {};
      if (name === 'overlaid') {
        const message = 'overlaid is what Ferrule writes when an overlay is laid over a pack.';
        this.#report('unexpected-key', [name], own.key, message, 'Leave it out: see --overlay.');
        continue;
      }
      if (isMapping(content)) {
        const section = this.#section(name, 'mapping', own);
        if (section?.kind !== 'mapping') continue;
        for (const [key, item] of Object.entries(content))
          this.#put(name, section, key, item, partOf(own, key));
      } else if (isList(content)) {
        const section = this.#section(name, 'list', own);
        if (section?.kind !== 'list') continue;
        offsets.set(name, section.items.length);
        // A call takes only so many arguments, and a list may be longer.
        for (const [index, item] of content.entries()) {
          section.items.push(item);
          section.parts.push(partOf(own, String(index)) ?? {});
        }
      } else {
        this.#section(name, 'text', own, content);
      }
    }
    return (tokens) => {
      const [section, index, ...rest] = tokens;
      if (section === undefined || index === undefined) return tokens;
      const offset = offsets.get(section);
      return offset === undefined ? tokens : [section, String(Number(index) + offset), ...rest];
    };
  }

  /** The section to add to, made when it is new; undefined, with a diagnostic, when it cannot be added to. */
  #section(name: string, kind: Section['kind'], spot: Spot, text = ''): Section | undefined {
    const present = this.#sections.get(name);
    if (present === undefined) {
      const made: Section =
        kind === 'mapping'
          ? { kind, entries: new Map(), parts: new Map() }
          : kind === 'list'
            ? { kind, items: [], parts: [] }
            : { kind, text };
      this.#sections.set(name, made);
      const { key, value } = spot;
      this.#spots.set(name, {
        ...(key === undefined ? {} : { key }),
        ...(value === undefined ? {} : { value }),
      });
      return made;
    }
    const there = this.#spots.get(name);
    // A section that so far came only from named files takes its place from the first file that writes its key.
    if (there?.key === undefined && spot.key !== undefined && present.kind === kind) {
      this.#spots.set(name, { key: spot.key, ...(spot.value === undefined ? {} : { value: spot.value }) });
    }
    if (present.kind === kind && kind !== 'text') return present;
    const message =
      kind === 'text' && present.kind === 'text'
        ? `The section ${name} is written twice.`
        : `The section ${name} is ${article[kind]} here and ${article[present.kind]} elsewhere.`;
    const other = there?.key && { at: [name], range: there.key, message: 'It is also written here.' };
    this.#report('section-conflict', [name], spot.key ?? spot.value, message, 'Keep one of them.', other);
    return undefined;
  }

  #put(
    name: string,
    section: Section & { kind: 'mapping' },
    key: string,
    item: SourceValue,
    spot: Spot = {},
  ) {
    const at = [name, key];
    const first = section.parts.get(key);
    if (first === undefined) {
      section.entries.set(key, item);
      section.parts.set(key, spot);
      return;
    }
    // Of two files the one that is called so is the right one, wherever it stands in the order of reading.
    const isFirstAstray = isNamedAfter(spot, key) && !isNamedAfter(first, key);
    if (isFirstAstray) {
      section.entries.set(key, item);
      section.parts.set(key, spot);
    }
    const [kept, astray] = isFirstAstray ? [spot, first] : [first, spot];
    const range = kept.key ?? kept.value;
    const other = range && {
      at,
      range,
      message: isFirstAstray ? 'The other one.' : 'It was first written here.',
    };
    const message = `${key} is written twice in the section ${name}.`;
    this.#report(
      'duplicate-key',
      at,
      astray.key ?? astray.value,
      message,
      'Keep one of them, or rename one.',
      other,
    );
  }

  /** Adds the content of a named file or list item, and returns its id when it has one. */
  #addNamed(folder: string, idKey: string, value: SourceMapping, spot: Spot): string | undefined {
    const id = value[idKey];
    const idSpot = partOf(spot, idKey);
    if (typeof id !== 'string' || id.trim() === '') {
      const first = spot.parts instanceof Map ? spot.parts.values().next().value : undefined;
      const range = idSpot?.key ?? first?.key ?? spot.value;
      const message = `The key ${idKey} has to name what stands here.`;
      // An id that was left out is already reported as an empty value: its place is the place of its key.
      if (id === undefined || idSpot?.value !== idSpot?.key) {
        this.#report('missing-id', [folder], range, message, `Write "${idKey}: " and an id.`);
      }
      return undefined;
    }
    if (isForbiddenKey(id)) {
      this.#report(
        'forbidden-key',
        [folder],
        idSpot?.value,
        `The id ${id} is reserved.`,
        'Choose another name.',
      );
      return undefined;
    }
    const section = this.#section(folder, 'mapping', {});
    if (section?.kind !== 'mapping') return id;
    const { [idKey]: _, ...content } = value;
    const parts = new Map(spot.parts instanceof Map ? spot.parts : []);
    parts.delete(idKey);
    const named: Spot = {
      parts,
      ...(idSpot?.value === undefined ? {} : { key: idSpot.value }),
      ...(spot.value === undefined ? {} : { value: spot.value }),
    };
    this.#put(folder, section, id, content, named);
    return id;
  }

  #addNamedList(folder: string, idKey: string, listKey: string, value: SourceMapping, spot: Spot): Rebase {
    const ids: (string | undefined)[] = [];
    const content = value[listKey];
    const own = partOf(spot, listKey) ?? {};
    for (const key of Object.keys(value)) {
      if (key === listKey) continue;
      const message = `The key ${key} may not stand beside ${listKey}.`;
      const remedy = `Write it inside an item of ${listKey}.`;
      this.#report('unexpected-key', [folder], partOf(spot, key)?.key, message, remedy);
    }
    if (!isList(content)) {
      const message = `${listKey} has to be a list, each item with the key ${idKey}.`;
      this.#report('section-conflict', [folder], own.key, message, 'Write a list.');
      return () => [folder];
    }
    for (const [index, item] of content.entries()) {
      const itemSpot = partOf(own, String(index)) ?? {};
      if (isMapping(item)) ids.push(this.#addNamed(folder, idKey, item, itemSpot));
      else {
        ids.push(undefined);
        const message = `An item of ${listKey} has to be a mapping with the key ${idKey}.`;
        const range = itemSpot.value;
        // An item that was left out is already reported as an empty value: its place is its dash.
        const leftOut = range !== undefined && range.source.text.slice(range.start, range.end) === '-';
        if (!leftOut) this.#report('missing-id', [folder], range, message, 'Write a mapping.');
      }
    }
    return ([list, index, ...rest]) => {
      const id = list === listKey && index !== undefined ? ids[Number(index)] : undefined;
      return id === undefined ? [folder] : [folder, id, ...rest];
    };
  }
}

/** Whether what stands here is alone in a file that is called after it. */
const isNamedAfter = ({ key }: Spot, id: string): boolean =>
  [`${id}.yaml`, `${id}.yml`].includes(key?.source.path.split('/').at(-1) ?? '');
