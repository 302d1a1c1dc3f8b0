// Bundles the command into one file, and each library package into one file for those who embed it.
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  realpathSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import * as esbuild from 'esbuild';
import { build as buildPage } from 'vite';
import { buildStamp, sourcesNow } from './build-stamp.js';

const packages = fileURLToPath(new URL('..', import.meta.url));

const shared = {
  bundle: true,
  write: false,
  format: 'esm',
  conditions: ['source', 'module'],
  charset: 'utf8',
  legalComments: 'none',
  logLevel: 'error',
};

const dist = join(packages, 'cli/dist');

/**
 * The command: everything in one script, so that starting it opens little else, and V8 can take up what it has compiled of it
 * before, which it does for scripts alone. Its text is one expression: a function of what a module of CommonJS is given.
 */
const command = {
  ...shared,
  entryPoints: [join(packages, 'cli/src/main.ts')],
  outfile: join(dist, 'command.cjs'),
  platform: 'node',
  format: 'cjs',
  target: 'node20',
  minify: true,
  // The server brings a web framework and stays outside: starting any other verb does not read it.
  external: ['@ferrule/server'],
  define: { 'import.meta.url': 'ownAddress' },
  banner: { js: '(function(module,exports,require,importOutside,ownAddress){' },
  footer: { js: '})' },
};

/** What opens it. */
const opener = {
  ...shared,
  entryPoints: [join(packages, 'cli/run-command.js')],
  outfile: join(dist, 'ferrule.js'),
  platform: 'node',
  target: 'node20',
};

/** What the command runs on further threads: a file of its own beside it. */
const thread = {
  ...shared,
  entryPoints: [join(packages, 'compare/src/rejudge/rejudge-worker.ts')],
  outfile: join(packages, 'cli/dist/rejudge-worker.js'),
  platform: 'node',
  target: 'node20',
  minify: true,
  // A CommonJS dependency asks for Node's built-ins with require, which an ES module does not have.
  banner: {
    js: "import { createRequire as makeRequire } from 'node:module';const require = makeRequire(import.meta.url);",
  },
};

/** The engine carries its dependencies and runs anywhere; the other libraries leave theirs to the installer. */
const library = (name) => ({
  ...shared,
  entryPoints: entriesOf(name),
  outdir: join(packages, name, 'dist'),
  splitting: true,
  platform: 'neutral',
  mainFields: ['module', 'main'],
  target: 'es2022',
  minify: name === 'engine',
  ...(name === 'engine' ? {} : { packages: 'external' }),
});

/** What keeps the page on a device: it knows the files of this build by name, so it is made last. */
function workerOf(page) {
  const files = page.filter(({ fileName }) => fileName !== 'index.html' && !fileName.startsWith('.'));
  const build = createHash('sha256');
  for (const one of page) build.update(one.fileName).update(one.type === 'chunk' ? one.code : one.source);
  return {
    ...shared,
    entryPoints: [join(packages, 'page/src/worker/worker.ts')],
    outfile: join(packages, 'page/dist/worker.js'),
    format: 'iife',
    platform: 'browser',
    target: 'es2022',
    minify: true,
    define: {
      FILES: JSON.stringify(['/', ...files.map(({ fileName }) => `/page/${fileName}`).sort()]),
      BUILD: JSON.stringify(build.digest('hex').slice(0, 12)),
    },
  };
}

/** The files that a package can be imported by, as its exports name them, with their names when built. */
function entriesOf(name) {
  const { exports } = JSON.parse(readFileSync(join(packages, name, 'package.json'), 'utf8'));
  return Object.values(exports).map((entry) => ({
    in: join(packages, name, entry.source),
    out: basename(entry.default, '.js'),
  }));
}

/** Written beside and moved into place, so that another process never reads half a file. */
function put(file, contents) {
  mkdirSync(dirname(file), { recursive: true });
  const beside = `${file}.${process.pid}`;
  writeFileSync(beside, contents);
  renameSync(beside, file);
}

/** Builds everything. Throws esbuild's failure, whose errors have then been printed, and writes nothing. */
export async function build() {
  const sources = sourcesNow();
  // The same whatever the shell, or the runner of the tests, says it is at: vite would write the page for development else.
  const before = process.env.NODE_ENV;
  process.env.NODE_ENV = 'production';
  const libraries = readdirSync(packages).filter((name) => existsSync(join(packages, name, 'src/index.ts')));
  const [results, page] = await Promise.all([
    Promise.all([command, opener, thread, ...libraries.map(library)].map((each) => esbuild.build(each))),
    buildPage({ configFile: join(packages, 'page/vite.config.js'), build: { write: false } }),
  ]);
  if (before === undefined) delete process.env.NODE_ENV;
  else process.env.NODE_ENV = before;
  const worker = await esbuild.build(workerOf(page.output));
  const files = [
    ...[...results, worker].flatMap((result) => result.outputFiles).map(withDigest),
    ...page.output.map((one) => ({
      path: join(packages, 'page/dist', one.fileName),
      contents: one.type === 'chunk' ? one.code : one.source,
    })),
  ];
  for (const file of files) put(file.path, file.contents);
  // Pieces that entries share are named after their contents: the ones of earlier builds go.
  const written = new Set([...files.map((file) => basename(file.path)), compiled, basename(buildStamp)]);
  for (const folder of new Set(files.map((file) => dirname(file.path)))) {
    for (const entry of readdirSync(folder, { withFileTypes: true }))
      if (entry.isFile() && !written.has(entry.name)) rmSync(join(folder, entry.name));
  }
  // Where that fails a start takes longer, and everything is as it should be.
  spawnSync(process.execPath, [join(packages, 'cli/compile-ahead.js')], { stdio: 'ignore' });
  put(buildStamp, sources);
}

const compiled = 'command.compiled';

/**
 * The text of the command begins with its own digest, by which it shows of which text something was compiled. What it imports
 * from outside, it does by what it is given for that.
 */
function withDigest({ path, contents }) {
  if (path !== command.outfile) return { path, contents };
  const text = Buffer.from(contents)
    .toString('utf8')
    .replaceAll(/\bimport\(/g, 'importOutside(');
  const digest = createHash('sha256').update(text).digest('hex');
  return { path, contents: Buffer.from(`/*${digest}*/${text}`, 'utf8') };
}

if (process.argv[1] !== undefined && realpathSync(process.argv[1]) === fileURLToPath(import.meta.url)) {
  await build().catch(() => {
    process.exitCode = 1;
  });
}
