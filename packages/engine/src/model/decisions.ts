import { type Frame, listOf } from './frame.ts';
import type { Condition } from './generated/document.ts';
import type { Decision, Test } from './plan.ts';
import { pointerTo } from './pointer.ts';
import { placed, Tracked } from './tracked.ts';
import type { Parts } from './writing.ts';

/** Reads the conditions of `only-if` and of the cases of a choice. */
export class Decisions {
  readonly #parts: Parts;

  constructor(parts: Parts) {
    this.#parts = parts;
  }

  /** A condition as a decision of the job; true or false where the variant or what was given settles it already. */
  of(condition: Condition, frame: Frame, pointer: string): Decision | boolean {
    const { pack, variant, tracked, checks, report } = this.#parts;
    if ('variant' in condition) {
      condition.variant.forEach((id, number) => {
        if (!Object.hasOwn(pack.variants, id))
          report.unknown('variant', id, Object.keys(pack.variants), pointerTo(pointer, 'variant', number));
      });
      return condition.variant.includes(variant.id);
    }
    if ('given' in condition) {
      return Object.entries(condition.given).every(([name, value]) => {
        const is = frame.bindings.get(name);
        if (is === undefined)
          report.unknown('given name', name, frame.bindings.keys(), pointerTo(pointer, 'given', name));
        return is === value;
      });
    }
    if ('state' in condition) {
      return { by: 'test', test: tracked.test(condition.state, frame, pointerTo(pointer, 'state')) };
    }
    if ('observed' in condition)
      return this.#observed(condition.observed, frame, pointerTo(pointer, 'observed'));
    return {
      by: 'condition',
      condition: checks.condition(condition.logic, frame, pointerTo(pointer, 'logic')),
    };
  }

  #observed(
    observed: Readonly<Record<string, string | readonly string[]>>,
    frame: Frame,
    pointer: string,
  ): Decision {
    const { entries, report } = this.#parts;
    const all: Test[] = [];
    const needs: number[] = [];
    for (const [name, wanted] of Object.entries(observed)) {
      const at = pointerTo(pointer, name);
      const full = this.#entryName(name, frame, at);
      const index = full === undefined ? undefined : entries.index(full);
      const entry = index === undefined ? undefined : entries.at(index);
      if (full !== undefined && entry === undefined)
        report.add('never-taken', at, `${name} has not been observed before this point.`);
      if (entry === undefined) continue;
      if (entry.entry !== 'observation') {
        report.add('wrong-form', at, `${name} is not an observation.`);
        continue;
      }
      const answers = entry.answers.map((one) => one.id);
      const among = listOf(wanted).flatMap((answer) => {
        const place = answers.indexOf(answer);
        if (place < 0) report.unknown('answer', answer, answers, at);
        return place < 0 ? [] : [place + 1];
      });
      all.push({ cell: entry.cell, among });
      needs.push(entry.cell);
    }
    return { by: 'test', test: { all }, needs };
  }

  /** The full name of an observation that a condition names: of this procedure or of one around it. */
  #entryName(name: string, frame: Frame, pointer: string): string | undefined {
    const own = name.split('@')[0] ?? '';
    const names: string[] = [];
    for (let one: Frame | undefined = frame; one !== undefined; one = one.outer) {
      const { observations } = one.document;
      const per = name.includes('@') ? undefined : observations?.[own]?.per;
      const full = one.prefix + placed(name, ...listOf(per).map((bind) => frame.bindings.get(bind)));
      if (observations !== undefined && Object.hasOwn(observations, own)) return full;
      names.push(full);
    }
    // `removal.rocker-assembly`: of a procedure that was performed before.
    const dotted = names.find((full) => this.#parts.entries.index(full) !== undefined);
    if (dotted !== undefined) return dotted;
    this.#parts.report.unknown('observation', name, Object.keys(frame.document.observations ?? {}), pointer);
    return undefined;
  }
}

/** A condition in words, for who is told why a case was taken: `fuel: shut-off`, `variant: marram-four`. */
export function saysCondition(condition: Condition): string {
  if ('state' in condition) return Tracked.says(condition.state);
  if ('variant' in condition) return `variant: ${condition.variant.join(' or ')}`;
  if ('logic' in condition) return JSON.stringify(condition.logic);
  const map = 'given' in condition ? condition.given : condition.observed;
  return Object.entries(map)
    .map(([name, value]) => `${name}: ${listOf(value as string | readonly string[]).join(' or ')}`)
    .join(', ');
}
