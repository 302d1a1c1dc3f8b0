import type { ComparedChange, ComparisonDocument } from '@ferrule/compare/document';

/** Changes that are read together, with what they have in common. */
export interface ChangeGroup {
  readonly title: string;
  readonly changes: readonly ComparedChange[];
}

const isTrial = ({ kind }: ComparedChange): boolean => kind === 'trial';
const isWeaker = ({ effect }: ComparedChange): boolean => effect === 'weaker';

/** The changes of a comparison as they are read: what protects less first, then by weight, and the trials at the end. */
export function changeGroups({ changes }: ComparisonDocument): readonly ChangeGroup[] {
  const rest = changes.filter((one) => !isTrial(one) && !isWeaker(one));
  const of = (weight: ComparedChange['weight']) => rest.filter((one) => one.weight === weight);
  return [
    { title: 'Protects less', changes: changes.filter((one) => !isTrial(one) && isWeaker(one)) },
    { title: 'Touches safety', changes: of('safety') },
    { title: 'Touches conformity', changes: of('conformity') },
    { title: 'Touches the work', changes: of('work') },
    { title: 'Touches the wording alone', changes: of('wording') },
    { title: 'Trials', changes: changes.filter(isTrial) },
  ].filter(({ changes: some }) => some.length > 0);
}

/** Class, effect and level of a change in a few words: `tightened, protects more; minor`. */
export function changeMark({ change, effect, needs }: ComparedChange): string {
  const protects = effect === undefined ? '' : effect === 'weaker' ? ', protects less' : ', protects more';
  return `${change}${protects}; ${needs}`;
}

/** Where a side of a change is written, as `folder/file:line:column`; its pointer where there are no files. */
export function changePlace(name: string, side: ComparedChange['before']): string | undefined {
  if (side === undefined) return undefined;
  const { place, pointer } = side;
  if (place === undefined) return pointer;
  const parts = `${name.replaceAll('\\', '/').replace(/\/+$/, '')}/${place.file}`.split('/');
  const path: string[] = [];
  for (const part of parts)
    if (part === '..' && path.length > 0 && path.at(-1) !== '..') path.pop();
    else if (part !== '.') path.push(part);
  return `${path.join('/')}:${place.line}:${place.column}`;
}
