import { nearest } from '@ferrule/engine';

/**
 * That none of the nodes of a plan has a path, and which step was probably meant: of the steps of that name the first that
 * has most of the other parts too, or else one whose name is written nearly so.
 */
export function saysNoStep(
  nodes: readonly { readonly node: string; readonly path: string }[],
  at: string,
): string {
  const parts = at.split('/');
  const paths = nodes.flatMap(({ node, path }) => (node === 'step' ? [path] : []));
  const last = parts.at(-1) ?? at;
  const name = paths.some((path) => nameOf(path) === last) ? last : nearest(last, paths.map(nameOf));
  const alike = (path: string): number => path.split('/').filter((part) => isSame(part, parts)).length;
  const meant = paths
    .filter((path) => nameOf(path) === name)
    .reduce<string | undefined>(
      (best, path) => (alike(path) > alike(best ?? '') ? path : (best ?? path)),
      undefined,
    );
  return `There is no step ${at}.${meant === undefined ? '' : ` Did you mean ${meant}?`}`;
}

const nameOf = (path: string): string => path.slice(path.lastIndexOf('/') + 1);

/** Whether a part of a path is one of those that were written; the name of a loop before its round may be left out. */
const isSame = (part: string, written: readonly string[]): boolean =>
  written.some((one) => one === part || part.endsWith(`.${one}`));
