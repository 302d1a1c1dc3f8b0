import { nearest } from '../logic/index.ts';
import type { Diagnostic, RelatedPlace, Severity } from './diagnostic.ts';
import type { DiagnosticCode } from './diagnostic-code.ts';
import { pointerTo } from './pointer.ts';

/** Most faults of one severity that are listed: who reads so many puts the first ones right before going on. */
const MOST_FAULTS = 200;

/** Names that misspelt ones are compared with, all together: each comparison takes some microseconds. */
const MOST_COMPARED = 50_000;

/** Collects what is wrong with a pack, each thing once, however many places of a plan it shows up in. */
export class Report {
  readonly #found = new Map<string, Diagnostic>();
  readonly #counts = new Map<Severity, number>();
  readonly #used = new Map<string, Set<string>>();
  #compared = 0;

  add(code: DiagnosticCode, pointer: string, message: string, more: Details = {}): void {
    const { severity = 'error', ...rest } = more;
    if (this.#isFull(severity)) return;
    const key = `${code} ${pointer} ${message}`;
    if (this.#found.has(key)) return;
    const count = this.#counts.get(severity) ?? 0;
    this.#counts.set(severity, count + 1);
    if (count < MOST_FAULTS) this.#found.set(key, { code, severity, pointer, message, ...rest });
    else {
      const more = `There are more than ${MOST_FAULTS} ${severity}s; the rest is not shown.`;
      const remedy = 'Put the first ones right, and check again.';
      this.#found.set(severity, { code: 'too-many-faults', severity, pointer: '', message: more, remedy });
    }
  }

  /** Whether the faults are so many that no further error is listed. */
  get isFull(): boolean {
    return this.#isFull('error');
  }

  #isFull(severity: Severity): boolean {
    return (this.#counts.get(severity) ?? 0) > MOST_FAULTS;
  }

  /** A name that is not declared, with the one that was probably meant. */
  unknown(
    what: string,
    name: string,
    declared: Iterable<string>,
    pointer: string,
    more: { readonly of?: string; readonly other?: Details['other'] } = {},
  ): void {
    if (this.isFull) return;
    const { of, other } = more;
    const known = [...declared];
    this.#compared += known.length;
    const { message, remedy } = saysUnknown(what, name, known, of, this.#compared <= MOST_COMPARED);
    this.add('unknown-name', pointer, message, {
      remedy,
      ...(other === undefined ? {} : { other }),
      ...(isKeyAt(pointer, name) ? { marks: 'key' } : {}),
    });
  }

  /** Braces around a name that nothing is known as, with the name that was probably meant. */
  unknownPlaceHolder(name: string, known: readonly string[], pointer: string): void {
    const meant = nearest(name, known);
    this.add('unknown-place-holder', pointer, `Nothing is known as {${name}} here.`, {
      remedy:
        meant === undefined ? `Known here: ${known.join(', ') || 'nothing'}.` : `Did you mean {${meant}}?`,
    });
  }

  /** Marks a declaration as used: `hazards/rack-damage`. */
  use(section: string, name: string): void {
    const names = this.#used.get(section);
    if (names === undefined) this.#used.set(section, new Set([name]));
    else names.add(name);
  }

  isUsed(section: string, name: string): boolean {
    return this.#used.get(section)?.has(name) ?? false;
  }

  /** Whether an error has been reported at a pointer or inside it. */
  hasErrorAt(pointer: string): boolean {
    for (const one of this.#found.values())
      if (one.severity === 'error' && one.pointer.startsWith(pointer)) return true;
    return false;
  }

  get diagnostics(): readonly Diagnostic[] {
    return [...this.#found.values()];
  }

  get hasErrors(): boolean {
    for (const one of this.#found.values()) if (one.severity === 'error') return true;
    return false;
  }
}

/** A pointer that ends with the name itself leads to its key: `/steps/3/changes/pump`. */
const isKeyAt = (pointer: string, name: string): boolean => pointer.endsWith(pointerTo('', name));

/**
 * What is said of a name that is not declared: `what` it should be, `of` what it should be a part. Without `isGuessing`, the
 * name that was probably meant is not looked for.
 */
export function saysUnknown(
  what: string,
  name: string,
  declared: Iterable<string>,
  of?: string,
  isGuessing = true,
): { readonly message: string; readonly remedy: string } {
  const known = [...declared];
  const meant = isGuessing ? nearest(name, known) : undefined;
  const remedy =
    meant !== undefined
      ? `Did you mean ${meant}?`
      : known.length === 0
        ? `No ${what} is declared.`
        : `Declared: ${known.slice(0, 12).join(', ')}${known.length > 12 ? ' …' : ''}.`;
  return { message: `There is no ${what} ${name}${of === undefined ? '' : ` in ${of}`}.`, remedy };
}

export interface Details {
  readonly severity?: Severity;
  readonly remedy?: string;
  readonly other?: readonly RelatedPlace[];
  /** The key at the pointer is meant, where others of the kind mean the value. */
  readonly marks?: 'key';
}
