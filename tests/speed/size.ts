import { readdirSync } from 'node:fs';
import { gzipSync } from 'node:zlib';
import { build, type Plugin } from 'esbuild';
import { type Row, significant } from './row.ts';

const AIM_KILOBYTES = 60;
const engine = 'packages/engine/src';
const validator = `${engine}/validate.ts`;

/** What a page takes from the engine to run a job, show it and take it up again. */
const runsJobs = ['resolve', 'start', 'decide', 'offers', 'describeStep', 'describeCells', 'writeQuantity'];

/** Minified and compressed bytes of what a browser would load for these modules, or for these names of them. */
async function sizeOf(modules: readonly string[], plugins: Plugin[] = [], names: readonly string[] = []) {
  const taken = (place: number): string =>
    names.length > 0 ? `{ ${names.join(', ')} }` : `* as part${place}`;
  const { outputFiles } = await build({
    stdin: {
      contents: modules.map((path, place) => `export ${taken(place)} from '${path}';`).join('\n'),
      resolveDir: process.cwd(),
    },
    bundle: true,
    minify: true,
    write: false,
    format: 'esm',
    platform: 'browser',
    target: 'es2022',
    conditions: ['source', 'module'],
    charset: 'utf8',
    legalComments: 'none',
    logLevel: 'error',
    plugins,
  });
  const [file] = outputFiles;
  const bytes = file?.contents ?? new Uint8Array();
  return { minified: bytes.length, compressed: gzipSync(bytes, { level: 9 }).length };
}

/** Leaves out whatever the module asks for from elsewhere than its own folder. */
const only = (folder: string): Plugin => ({
  name: 'only-one-folder',
  setup: ({ onResolve }) => {
    onResolve({ filter: /.*/ }, ({ path, importer }) => {
      if (importer === '' || importer === '<stdin>') return undefined;
      const isInside = path.startsWith('./') && importer.replaceAll('\\', '/').includes(`${folder}/`);
      return isInside ? undefined : { path, external: true };
    });
  },
});

const kilobytes = (bytes: number): string => `${significant(bytes / 1000)} kB`;

/** What the engine weighs in a browser, part by part, beside other libraries. */
export async function measureSize(): Promise<readonly Row[]> {
  const measure = 'size for a browser, minified and gzipped';
  const whole = await sizeOf([`./${engine}/index.ts`]);
  const row = (of: string, { minified, compressed }: typeof whole): Row => ({
    measure,
    of,
    value: `${kilobytes(compressed)} (${kilobytes(minified)} before)`,
    ratio: `× ${significant(compressed / whole.compressed)}`,
  });
  const running = await sizeOf([`./${engine}/index.ts`], [], runsJobs);
  const aim = ({ compressed }: typeof whole): NonNullable<Row['aim']> => ({
    says: `${AIM_KILOBYTES} kB`,
    met: compressed <= AIM_KILOBYTES * 1000,
  });
  const rows: Row[] = [
    { ...row('Ferrule, the whole engine', whole), aim: aim(whole) },
    { ...row('Ferrule, what a page loads to run jobs', running), aim: aim(running) },
  ];
  const parts = readdirSync(engine, { withFileTypes: true }).filter(
    (entry) => entry.isDirectory() && entry.name !== 'proof',
  );
  for (const { name } of parts) {
    rows.push(
      row(
        `of the whole: ${name}`,
        await sizeOf([`./${engine}/${name}/index.ts`], [only(`${engine}/${name}`)]),
      ),
    );
  }
  rows.push(row('apart: the check against the format, by ajv', await sizeOf([`./${validator}`])));
  rows.push(row('apart: the proof, with what it needs', await sizeOf([`./${engine}/proof/index.ts`])));
  for (const name of [
    'json-logic-js',
    'json-logic-engine',
    'json-rules-engine',
    'xstate',
    'ajv/dist/2020.js',
  ]) {
    rows.push(row(name, await sizeOf([name])));
  }
  return rows;
}
