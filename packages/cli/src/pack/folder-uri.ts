import { isAbsolute, relative, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';

/** The URI of a folder with a slash at its end: relative to where the command was called, or `file:` where it lies outside. */
export function folderUri(folder: string): string {
  const path = relative('.', resolve(folder));
  if (path === '') return '';
  if (isAbsolute(path) || /^\.\.(?:[\\/]|$)/.test(path)) return `${pathToFileURL(resolve(folder)).href}/`;
  return `${path.split(/[\\/]/).map(encodeURIComponent).join('/')}/`;
}
