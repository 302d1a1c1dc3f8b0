/** JSON Pointers (RFC 6901) and the tokens they are made of. */

export const pointerOf = (tokens: readonly string[]): string =>
  tokens.map((token) => `/${token.replaceAll('~', '~0').replaceAll('/', '~1')}`).join('');

/** The tokens of a pointer, or nothing when the text is not a pointer. */
export function tokensOf(pointer: string): readonly string[] | undefined {
  if (pointer === '') return [];
  if (!pointer.startsWith('/')) return undefined;
  return pointer
    .slice(1)
    .split('/')
    .map((token) => token.replaceAll('~1', '/').replaceAll('~0', '~'));
}
