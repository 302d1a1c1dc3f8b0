// `npm run pictures`: makes the pictures of the page in docs/pictures anew, from the page as it was built and the demonstration.
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { prepare, root } from '../../packages/cli/prepare.js';

await prepare();
const { build } = await import('esbuild');
const folder = join(root, 'node_modules', '.cache', 'ferrule-pictures');
mkdirSync(folder, { recursive: true });
const outfile = join(folder, 'pictures.mjs');
await build({
  entryPoints: [join(root, 'tests/page/pictures.ts')],
  outfile,
  bundle: true,
  packages: 'external',
  platform: 'node',
  format: 'esm',
  target: 'node20',
  logLevel: 'error',
});
process.chdir(root);
await import(pathToFileURL(outfile).href);
