import { isList, isMapping } from '../json.ts';
import { sameMeaning } from '../quantities.ts';
import { write } from '../say.ts';

/** Each scalar that two values have otherwise, in words: `after-clamping@1 was 0.045 mm, and is now 0.041 mm`. */
export function differences(was: unknown, is: unknown, name = ''): readonly string[] {
  if (sameMeaning(was, is)) return [];
  if (isMapping(was) && isMapping(is))
    return [...new Set([...Object.keys(was), ...Object.keys(is)])]
      .sort()
      .flatMap((key) => differences(was[key], is[key], key));
  const said = (value: unknown): string => (isList(value) ? `[${write(value) ?? ''}]` : (write(value) ?? ''));
  if (was === undefined) return [`${name} is new: ${said(is)}`];
  if (is === undefined) return [`${name} is gone; it was ${said(was)}`];
  return [`${name} was ${said(was)}, and is now ${said(is)}`];
}
