// Writes the types of each library package, packages/<name>/types/*.d.ts, for those who embed it: `npm run build:types`. In a
// checkout nothing reads them, since the condition "source" leads to the sources.
import { spawnSync } from 'node:child_process';
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));
const packages = join(root, 'packages');
const emitted = join(root, 'node_modules', '.ferrule-types');

const filesIn = (folder) =>
  existsSync(folder)
    ? readdirSync(folder, { recursive: true, withFileTypes: true })
        .filter((entry) => entry.isFile() && entry.name.endsWith('.d.ts'))
        .map((entry) => join(entry.parentPath, entry.name))
    : [];

rmSync(emitted, { recursive: true, force: true });
const tsc = join(root, 'node_modules', 'typescript', 'bin', 'tsc');
const run = spawnSync(process.execPath, [tsc, '-p', join(root, 'tsconfig.types.json')], { encoding: 'utf8' });
if (run.status !== 0) {
  process.stderr.write(`${run.stdout}${run.stderr}`);
  process.exit(1);
}
for (const name of readdirSync(packages)) {
  const sources = join(packages, name, 'src');
  const types = join(packages, name, 'types');
  if (name === 'cli' || !existsSync(join(sources, 'index.ts'))) continue;
  rmSync(types, { recursive: true, force: true });
  const put = (from, path) => {
    const file = join(types, path);
    mkdirSync(dirname(file), { recursive: true });
    copyFileSync(from, file);
    // A program outside finds the declarations by the names of the modules when built.
    const text = readFileSync(file, 'utf8');
    writeFileSync(file, text.replace(/((?:from |import\()(["'])\.{1,2}\/[^"']*)\.ts\2/g, '$1.js$2'));
  };
  for (const file of filesIn(join(emitted, name, 'src')))
    put(file, relative(join(emitted, name, 'src'), file));
  for (const file of filesIn(sources)) put(file, relative(sources, file));
}
rmSync(emitted, { recursive: true, force: true });
