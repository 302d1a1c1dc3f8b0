import { isText, listOf, type Mapping, mappingOf, textsOf } from './json.ts';
import { inOther } from './quantities.ts';
import { write } from './say.ts';

/** An engine in words, with its rotation plan as it is given and its facts, and these in the other system of units where they have one. */
export function describeVariant(
  variant: Mapping,
  plan: string,
): { readonly says: string; readonly other?: string } {
  const { title, cylinders } = variant;
  const order = listOf(variant['firing-order']).map(String).join('-');
  const marks = inOrder(variant['marks']).map(([name, mark]) => {
    const { at, title: called } = mappingOf(mark);
    return `mark “${isText(called) ? called : name}” at ${String(at)}`;
  });
  const about = [
    ...(cylinders === undefined ? [] : [`${String(cylinders)} cylinders`]),
    ...(order === '' ? [] : [`firing order ${order}`]),
    ...textsOf(variant['running-direction']).map((one) => `turning ${one}`),
    ...marks,
    ...(variant['off-base'] === undefined ? [] : [`follower off its base circle ${offBase(variant)}`]),
    ...(variant['rotation'] === undefined ? [] : [`turned ${plan}`]),
  ];
  const facts = inOrder(variant['facts']).map(([name, value]) => ({
    name: name.replaceAll('-', ' '),
    value: write(value) ?? '',
  }));
  const list = facts.map(({ name, value }) => `${name} ${value}`).join(', ');
  const others = facts.flatMap(({ name, value }) => {
    const other = inOther(value);
    return other === undefined ? [] : [`${name} ${other}`];
  });
  const says = [
    isText(title) ? title : 'An engine',
    ...(about.length === 0 ? [] : [about.join(', ')]),
    ...(list === '' ? [] : [list]),
  ].join('; ');
  return others.length === 0 ? { says } : { says, other: others.join(', ') };
}

function offBase(variant: Mapping): string {
  const { before, after } = mappingOf(variant['off-base']);
  return `from ${String(before)} before to ${String(after)} after firing TDC`;
}

/** By name: in what order they are written says nothing, and a bundle has another. */
const inOrder = (value: unknown): readonly (readonly [string, unknown])[] =>
  Object.entries(mappingOf(value)).sort(([a], [b]) => (a < b ? -1 : 1));
