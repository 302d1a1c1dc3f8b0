import { isText, listOf, type Mapping, mappingOf, textsOf } from './json.ts';
import { inOther } from './quantities.ts';
import { write } from './say.ts';

/** An engine in words, with its facts, and these in the other system of units where they have one. */
export function describeVariant(variant: Mapping): { readonly says: string; readonly other?: string } {
  const { title, cylinders } = variant;
  const order = listOf(variant['firing-order']).map(String).join('-');
  const marks = Object.entries(mappingOf(variant['marks'])).map(([name, mark]) => {
    const { at, title: called } = mappingOf(mark);
    return `${isText(called) ? called : name} at ${String(at)}`;
  });
  const about = [
    ...(cylinders === undefined ? [] : [`${String(cylinders)} cylinders`]),
    ...(order === '' ? [] : [`firing order ${order}`]),
    ...textsOf(variant['running-direction']).map((one) => `turning ${one}`),
    ...marks,
  ];
  const facts = Object.entries(mappingOf(variant['facts'])).map(([name, value]) => ({
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
