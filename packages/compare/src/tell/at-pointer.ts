import { isList, isMapping, mappingOf } from '../json.ts';

/** The names on the way to a place, from an RFC 6901 pointer. */
export const tokensIn = (pointer: string): readonly string[] =>
  pointer
    .split('/')
    .slice(1)
    .map((token) => token.replaceAll('~1', '/').replaceAll('~0', '~'));

/** What stands at a place of a document, or undefined. */
export function atPointer(document: unknown, pointer: string): unknown {
  return tokensIn(pointer).reduce<unknown>(
    (value, token) =>
      isList(value) ? value[Number(token)] : isMapping(value) ? mappingOf(value)[token] : undefined,
    document,
  );
}
