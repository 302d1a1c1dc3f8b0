// What a checkout was built from, so that it is built again only where that has changed.
// Only Node built-ins: it is read before anything is installed.
import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The folder of the checkout. */
export const root = fileURLToPath(new URL('../..', import.meta.url));

/** The file that keeps the answer of `sourcesNow` at the last build. */
export const buildStamp = join(root, 'packages', 'cli', 'dist', '.stamp');

/** What it was built from last; empty where it never was. */
export const builtFrom = () => (existsSync(buildStamp) ? readFileSync(buildStamp, 'utf8') : '');

function filesUnder(folder, found) {
  for (const entry of readdirSync(folder, { withFileTypes: true })) {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) filesUnder(path, found);
    else found.push(path);
  }
  return found;
}

/** Path, size and time of change of everything that the build is made from; contents are not read. */
export function sourcesNow() {
  const files = [join(root, 'package-lock.json')];
  for (const own of ['build.js', 'build-stamp.js', 'run-command.js', 'command-script.js', 'compile-ahead.js'])
    files.push(join(root, 'packages', 'cli', own));
  for (const name of readdirSync(join(root, 'packages'))) {
    const folder = join(root, 'packages', name);
    if (existsSync(join(folder, 'package.json'))) files.push(join(folder, 'package.json'));
    for (const own of ['index.html', 'vite.config.js'])
      if (existsSync(join(folder, own))) files.push(join(folder, own));
    if (existsSync(join(folder, 'src'))) filesUnder(join(folder, 'src'), files);
  }
  const lines = files.sort().map((file) => {
    const { size, mtimeMs } = statSync(file);
    return `${file} ${size} ${mtimeMs}`;
  });
  // What is compiled ahead is for one version of Node.
  lines.push(process.version);
  return createHash('sha256').update(lines.join('\n')).digest('hex');
}
