import { realpathSync, statSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { compareDiagnostics, type Diagnostic, type DiagnosticCode, saysUnknown } from '@ferrule/engine';
import {
  areTwoPersons,
  fileTrouble,
  isPattern,
  type Policy,
  type PolicyKey,
  type PolicyRule,
  parsePublicKey,
  policyFormat,
} from '@ferrule/signing';
import { decodeText } from './decode-text.ts';
import { diagnosticOf } from './fault.ts';
import { limits } from './limits.ts';
import { pointerOf } from './pointer.ts';
import { type Positions, positionsOf } from './positions.ts';
import { fullBudget, readYaml } from './read-yaml.ts';
import { isList, isMapping, type SourceMapping, type SourceValue } from './source-value.ts';

/** The file that says which keys may release what. */
export const policyFile = 'policy.yaml';

export type PolicyReading =
  | { readonly policy: Policy; readonly diagnostics: readonly [] }
  | { readonly policy?: undefined; readonly diagnostics: readonly Diagnostic[] };

/**
 * Reads a policy; `name` stands for it in places. Every fault in it is a diagnostic, and a policy with a fault is none: what
 * it meant to forbid would otherwise be allowed. `docs/releases.md` has its form.
 */
export function readPolicy(content: Uint8Array | string, name: string): PolicyReading {
  const decoded = decodeText(name, content);
  if ('fault' in decoded) return { diagnostics: [diagnosticOf(decoded.fault)] };
  const { root, faults } = readYaml(decoded.source, fullBudget());
  if (root === undefined || faults.length > 0) return { diagnostics: faults.map((one) => diagnosticOf(one)) };
  const reader = new PolicyReader(positionsOf(root.spot));
  const policy = reader.policy(root.value);
  return reader.diagnostics.length > 0
    ? { diagnostics: [...reader.diagnostics].sort(compareDiagnostics) }
    : { policy, diagnostics: [] };
}

/** The policy that stands beside the packs of a shelf, for a pack in `<pack>/<revision>`; undefined where there is none. */
export function policyBeside(folder: string): string | undefined {
  try {
    const path = join(dirname(dirname(realpathSync(folder))), policyFile);
    return statSync(path).isFile() ? path : undefined;
  } catch {
    return undefined;
  }
}

/** Reads a policy from its file; that it cannot be read is a fault like any in it. */
export async function readPolicyFile(path: string): Promise<PolicyReading> {
  const cannot = (message: string): PolicyReading => ({
    diagnostics: [
      { code: 'unreadable-file', severity: 'error', pointer: '', message, remedy: 'Name another file.' },
    ],
  });
  try {
    const stat = statSync(path);
    if (!stat.isFile()) return cannot(`${path} is no file.`);
    if (stat.size > limits.fileBytes) return cannot(`${path} has more than ${limits.fileBytes} bytes.`);
    return readPolicy(await readFile(path), path);
  } catch (error) {
    const { code, says } = fileTrouble('read', error);
    return cannot(`${path} cannot be read (${code}). ${says}`);
  }
}

const NAME = /^[a-z][a-z0-9]*(-[a-z0-9]+)*$/;
const topKeys = ['format', 'title', 'keys', 'packs', 'jobs'];
const keyKeys = ['holder', 'key'];
const ruleKeys = ['authors', 'approvers'];

class PolicyReader {
  readonly diagnostics: Diagnostic[] = [];
  readonly #positions: Positions;

  constructor(positions: Positions) {
    this.#positions = positions;
  }

  policy(document: SourceMapping): Policy {
    this.#known([], document, topKeys);
    const format = this.#text(['format'], document['format']);
    if (format !== undefined && format !== policyFormat)
      this.#report(
        'wrong-value',
        ['format'],
        `This is no policy of the version ${policyFormat}.`,
        `Write ${policyFormat}.`,
      );
    const keys = this.#keys(document['keys']);
    const packs = this.#rules(document['packs'], keys);
    const { jobs } = document;
    return { keys, packs, jobs: jobs === undefined ? [] : this.#names(['jobs'], jobs, keys, false) };
  }

  #keys(value: SourceValue | undefined): ReadonlyMap<string, PolicyKey> {
    const keys = new Map<string, PolicyKey>();
    for (const [name, one] of this.#entries(['keys'], value)) {
      const at = ['keys', name];
      if (!NAME.test(name))
        this.#report(
          'bad-key',
          at,
          `${name} is no name for a key.`,
          'Write small letters, digits and single dashes.',
        );
      if (!isMapping(one)) {
        this.#report(
          'wrong-form',
          at,
          'A key has a holder and a key.',
          'Write { holder: …, key: ed25519:… }.',
        );
        continue;
      }
      this.#known(at, one, keyKeys);
      const holder = this.#text([...at, 'holder'], one['holder']);
      const text = this.#text([...at, 'key'], one['key']);
      if (holder === undefined || text === undefined) continue;
      const key = parsePublicKey(text);
      if ('wrong' in key) {
        this.#report(
          'wrong-value',
          [...at, 'key'],
          `This key is not taken: ${key.wrong}.`,
          'Write the id that key show prints.',
        );
        continue;
      }
      const same = [...keys.values()].find((other) => other.key.id === key.id);
      if (same === undefined) keys.set(name, { name, holder, key });
      else
        this.#report(
          'duplicate-name',
          [...at, 'key'],
          `This is the key of ${same.name} as well, and a key is one person's.`,
          'Give each name a key of its own.',
        );
    }
    return keys;
  }

  #rules(value: SourceValue | undefined, keys: ReadonlyMap<string, PolicyKey>): readonly PolicyRule[] {
    const rules: PolicyRule[] = [];
    for (const [pattern, one] of this.#entries(['packs'], value)) {
      const at = ['packs', pattern];
      if (!isPattern(pattern))
        this.#report(
          'bad-key',
          at,
          `${pattern} stands for no names.`,
          'Write a name in full, or how names begin and a * behind it; * alone is every name.',
        );
      if (!isMapping(one)) {
        this.#report(
          'wrong-form',
          at,
          'A rule has authors and approvers.',
          'Write { authors: […], approvers: […] }.',
        );
        continue;
      }
      this.#known(at, one, ruleKeys);
      const authors = this.#names([...at, 'authors'], one['authors'], keys);
      const approvers = this.#names([...at, 'approvers'], one['approvers'], keys);
      rules.push({ pattern, authors, approvers });
      this.#canBeMet(at, authors, approvers, keys);
    }
    return rules;
  }

  /** Each author needs somebody else who approves. */
  #canBeMet(
    at: readonly string[],
    authors: readonly string[],
    approvers: readonly string[],
    keys: ReadonlyMap<string, PolicyKey>,
  ): void {
    const known = (names: readonly string[]): readonly PolicyKey[] =>
      names.flatMap((name) => keys.get(name) ?? []);
    const others = known(approvers);
    if (others.length < approvers.length || others.length === 0) return;
    for (const author of known(authors))
      if (!others.some((one) => areTwoPersons(author, one)))
        this.#report(
          'wrong-value',
          [...at, 'approvers'],
          `Nobody here may approve what ${author.name} releases: author and approver differ, in key and in holder.`,
          'Name the key of somebody else.',
        );
  }

  #names(
    at: readonly string[],
    value: SourceValue | undefined,
    keys: ReadonlyMap<string, PolicyKey>,
    isNeeded = true,
  ): readonly string[] {
    if (value === undefined) this.#missing(at);
    else if (!isList(value))
      this.#report('wrong-form', at, `${at.at(-1)} is a list of names of keys.`, 'Write […].');
    else {
      if (value.length === 0 && isNeeded)
        this.#report('wrong-value', at, `${at.at(-1)} names nobody.`, 'Name at least one key.');
      return value.flatMap((name, index) => {
        const place = [...at, String(index)];
        if (typeof name !== 'string') {
          this.#report('wrong-form', place, 'Here stands the name of a key.', 'Write a name.');
          return [];
        }
        if (!keys.has(name)) {
          const { message, remedy } = saysUnknown('key', name, keys.keys());
          this.#report('unknown-name', place, message, remedy);
        } else if (value.indexOf(name) < index)
          this.#report('duplicate-name', place, `${name} is named twice.`, 'Name it once.');
        return [name];
      });
    }
    return [];
  }

  #entries(
    at: readonly string[],
    value: SourceValue | undefined,
  ): readonly (readonly [string, SourceValue])[] {
    if (value === undefined) this.#missing(at);
    else if (!isMapping(value))
      this.#report('wrong-form', at, `${at.join(' ')} is a mapping from names.`, 'Write name: {…}.');
    else return Object.entries(value);
    return [];
  }

  #text(at: readonly string[], value: SourceValue | undefined): string | undefined {
    if (value === undefined) this.#missing(at);
    else if (typeof value !== 'string' || value.trim() === '')
      this.#report('wrong-form', at, `${at.at(-1)} is a text.`, 'Write a text.');
    else return value;
    return undefined;
  }

  #known(at: readonly string[], value: SourceMapping, known: readonly string[]): void {
    for (const key of Object.keys(value))
      if (!known.includes(key) && !key.startsWith('x-'))
        this.#report(
          'unknown-key',
          [...at, key],
          `The key ${key} is not known here.`,
          `Known here: ${known.join(', ')}; keys of your own begin with x-.`,
        );
  }

  #missing(at: readonly string[]): void {
    this.#report('missing-key', at, `The key ${at.at(-1)} is missing.`, `Write ${at.at(-1)}.`);
  }

  #report(code: DiagnosticCode, at: readonly string[], message: string, remedy: string): void {
    const pointer = pointerOf(at);
    const isKey = code === 'unknown-key' || code === 'bad-key';
    const span = (isKey ? this.#positions.key(pointer) : undefined) ?? this.#positions.nearest(pointer);
    this.diagnostics.push({
      ...{ code, severity: 'error', pointer, message, remedy },
      ...(span === undefined ? {} : { span }),
    });
  }
}
