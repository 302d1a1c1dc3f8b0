// `npm run speed`: how fast the engine is beside other libraries on the same work, as one table of ratios from one run.
// It measures and never judges: an aim that is missed is shown, and the run still ends well.
// `npm run speed -- verdict job` runs only these measures.
import { spawnSync } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { prepare, root } from '../../packages/cli/prepare.js';

await prepare();
const { build } = await import('esbuild');
const folder = join(root, 'node_modules', '.cache', 'ferrule-speed');
mkdirSync(folder, { recursive: true });

// Our own sources go into one file, as the command ships them; what it is compared with stays as it is installed.
await build({
  entryPoints: [join(root, 'tests/speed/measures.ts'), join(root, 'tests/speed/rejudge-beside.ts')],
  outdir: folder,
  outExtension: { '.js': '.mjs' },
  bundle: true,
  platform: 'node',
  format: 'esm',
  target: 'node20',
  conditions: ['source'],
  external: [
    'ajv',
    'js-yaml',
    'json-logic-js',
    'json-logic-engine',
    'json-rules-engine',
    'xstate',
    'esbuild',
    'fast-json-patch',
    '@ferrule/server',
    'playwright-core',
    '@sparticuz/chromium',
  ],
  logLevel: 'error',
});

const run = spawnSync(
  process.execPath,
  ['--expose-gc', join(folder, 'measures.mjs'), ...process.argv.slice(2)],
  { cwd: root, stdio: 'inherit' },
);
process.exitCode = run.status ?? 1;
