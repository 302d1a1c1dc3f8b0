import { mkdirSync, statSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { codeOf } from './code-of.ts';

/**
 * Makes a folder and those around it; throws the error of the file system. Node's own recursive making never returns
 * below folders that can hold none, such as /proc, so each is made once here.
 */
export function makeFolder(folder: string): void {
  const missing: string[] = [];
  for (let path = resolve(folder); !statSync(path, { throwIfNoEntry: false }); path = dirname(path)) {
    missing.unshift(path);
    if (dirname(path) === path) break;
  }
  for (const path of missing) makeOne(path);
}

/**
 * Makes a folder inside one that is there; throws the error of the file system. What lies in a store is made by this, so that a
 * store that was taken away is not made anew.
 */
export function makeOne(folder: string): void {
  try {
    mkdirSync(folder);
  } catch (error) {
    if (codeOf(error) !== 'EEXIST') throw error;
  }
}
