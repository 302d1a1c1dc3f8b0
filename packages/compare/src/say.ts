import type { Stated } from './change.ts';
import { has, isList, isText, listOf, type Mapping, mappingOf, textsOf } from './json.ts';
import type { Placed } from './match-nodes.ts';
import { inOther } from './quantities.ts';
import { writeExpression } from './write-expression.ts';

/** One side of a change, with its value in the other system of units. */
export function stated(pointer: string, says: string): Stated {
  const other = inOther(says);
  return { pointer, says, ...(other === undefined ? {} : { other }) };
}

/** A value as a reader sees it: texts as they are, lists with commas, conditions and calculations as a line. */
export function write(value: unknown): string | undefined {
  if (value === undefined) return undefined;
  if (isText(value)) return value;
  if (isList(value))
    return value
      .map((one) => (isText(one) ? one : isList(one) ? one.map(String).join(' → ') : writeExpression(one)))
      .join(', ');
  return writeExpression(value);
}

/** `lifters: pumped-up → bled-down`: what a step makes of a state. */
export const arrow = (state: string, value: unknown): string | undefined =>
  value === undefined
    ? undefined
    : `${state}: ${listOf(value)
        .map((one) => textsOf(one).join(' or '))
        .join(' → ')}`;

/** A thing with the words that people know it by. */
export function describe(name: string, value: unknown): string {
  const { title, text, measurand, says } = mappingOf(value);
  const words = [title, text, measurand, says].find(isText);
  return words === undefined ? name : `${name}: ${words}`;
}

/** What a step says, or what else a node is. */
export function describeNode({ kind, id, value }: Placed): string {
  const words = [value['do'], value['title'], value['turn-until']].find(isText);
  return words === undefined ? `${kind} ${id}` : words;
}

/** What follows a bad result, in words. */
export function describeRemedy(remedy: Mapping): string {
  if (isText(remedy['hold'])) return `hold ${remedy['hold']}`;
  if (has(remedy, 'when-high'))
    return `when high: ${describeRemedy(mappingOf(remedy['when-high']))}; when low: ${describeRemedy(mappingOf(remedy['when-low']))}`;
  const { length } = listOf(remedy['rework']);
  return `rework of ${length} ${length === 1 ? 'step' : 'steps'}, then again from ${String(remedy['resume-at'])}`;
}

/** Where a node stands, in words: after which other, and in what. */
export function placeOf(node: Placed, document: Mapping): string {
  const trail = node.pointer.split('/');
  const index = Number(trail.at(-1));
  const list = trail
    .slice(1, -1)
    .reduce<unknown>(
      (value, key) =>
        isList(value)
          ? value[Number(key)]
          : mappingOf(value)[key.replaceAll('~1', '/').replaceAll('~0', '~')],
      document,
    );
  const name = (at: number): string | undefined => {
    const one = mappingOf(listOf(list)[at]);
    const named =
      one['step'] ??
      one['block'] ??
      one['as'] ??
      one['perform'] ??
      one['id'] ??
      one['each'] ??
      one['choose'] ??
      one['hold'];
    return isText(named) ? named : undefined;
  };
  const around = node.path.split('/').slice(0, -1).join('/');
  const inside = around === '' ? '' : ` in ${around}`;
  const before = name(index - 1);
  return before === undefined ? `first${inside}` : `after ${before}${inside}`;
}
