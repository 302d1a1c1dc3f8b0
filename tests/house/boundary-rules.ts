import { isBuiltin } from 'node:module';
import { posix } from 'node:path';
import { globalsUsed, type ImportGraph, importGraph, methodsUsed, type Sources } from './import-graph.ts';

const everythingBelowCli = ['engine', 'signing', 'source', 'records', 'check', 'print', 'compare'];

/** Which package may import which, and which packages from elsewhere. A new package needs a line here. */
const packageRules: Readonly<Record<string, { ours: readonly string[]; outside: readonly string[] }>> = {
  engine: { ours: [], outside: ['json-logic-js'] },
  signing: { ours: [], outside: [] },
  source: { ours: ['engine', 'signing'], outside: ['js-yaml'] },
  records: { ours: ['engine', 'signing'], outside: [] },
  check: { ours: ['engine', 'source', 'signing'], outside: [] },
  print: { ours: ['engine', 'compare'], outside: ['@dagrejs/dagre'] },
  compare: { ours: ['engine', 'source', 'records', 'signing', 'check'], outside: ['semver'] },
  page: {
    ours: ['engine', 'print', 'compare'],
    outside: ['preact', '@preact/signals', 'd3-shape', 'idb-keyval'],
  },
  server: {
    ours: everythingBelowCli,
    outside: ['fastify', '@fastify/helmet', '@fastify/rate-limit', '@fastify/swagger', 'ajv'],
  },
  cli: { ours: [...everythingBelowCli, 'server'], outside: ['commander'] },
};

/** Which folder of the engine may import which. */
const engineRules: Readonly<Record<string, readonly string[]>> = {
  quantity: [],
  measure: ['quantity'],
  crank: ['quantity'],
  logic: ['quantity'],
  model: ['quantity', 'measure', 'crank', 'logic'],
  job: ['quantity', 'measure', 'crank', 'logic', 'model'],
  proof: ['quantity', 'measure', 'crank', 'logic', 'model', 'job'],
};

/** What would let a clock, chance, a place or generated code into the engine. */
const impureGlobals = [
  ...[
    'Date',
    'Math.random',
    'crypto',
    'performance',
    'Intl',
    'eval',
    'Function',
    'globalThis',
    'window',
    'self',
  ],
  ...['setTimeout', 'setInterval', 'fetch', 'navigator', 'Buffer', 'require', 'WebAssembly'],
];
/** Reading a time that was handed in asks no clock. */
const pureMembers = ['Date.parse', 'Date.UTC'];
const impureMethods = /\.(?:toLocale\w*|localeCompare)\b/g;
/** Only the shells speak to a person or to the process. */
const shellGlobals = ['console', 'process'];
const shells: readonly string[] = ['cli', 'server', 'page'];

const sourceFile = /^packages\/([^/]+)\/src\/(?:(.+)\/)?[^/]+$/;

function placeOf(file: string): { readonly pack: string; readonly folder: string | undefined } {
  const [, pack = '', folder] = sourceFile.exec(file) ?? [];
  return { pack, folder: folder?.split('/')[0] };
}

/** The names besides their own by which packages are imported: what their exports say. */
const entrances: readonly string[] = [
  ...[
    'engine/proof',
    'engine/replay',
    'engine/risk',
    'engine/validate',
    'engine/deferral',
    'compare/document',
    'engine/judge',
    'compare/readings',
    'compare/rejudge',
    'print/deferral',
    'print/readings',
    'print/rejudged',
    'compare/behaviour',
  ],
];

/** Every import that the tables do not allow. */
function importFaults(graph: ImportGraph): readonly string[] {
  const faults: string[] = [];
  for (const [file, imports] of graph) {
    const { pack, folder } = placeOf(file);
    const rule = packageRules[pack];
    if (rule === undefined) {
      faults.push(`${file}: the package ${pack} has no line in the table of packages`);
      continue;
    }
    if (pack === 'engine' && folder !== undefined && engineRules[folder] === undefined)
      faults.push(`${file}: the folder ${folder} has no line in the table of engine folders`);
    for (const specifier of imports) {
      const fault = (why: string): void => void faults.push(`${file}: imports ${specifier}: ${why}`);
      const [, own, deeper] = /^@ferrule\/([^/]+)(\/.*)?$/.exec(specifier) ?? [];
      if (specifier.startsWith('.')) {
        const target = posix.join(posix.dirname(file), specifier);
        const there = placeOf(target);
        if (!graph.has(target) && !/\.(?:js|json|css)$/.test(target)) fault('there is no such file');
        if (there.pack !== pack) fault('another package is imported by its name');
        else if (pack === 'engine' && folder !== undefined && there.folder !== folder) {
          if (there.folder === undefined) fault('a folder does not import the file that gathers all folders');
          else if (!engineRules[folder]?.includes(there.folder))
            fault(`${folder} may not import ${there.folder}`);
        }
      } else if (own !== undefined) {
        if (!rule.ours.includes(own)) fault(`${pack} may not import ${own}`);
        if (deeper !== undefined && !entrances.includes(`${own}${deeper}`))
          fault('a package is imported by its name, or by a name that it exports');
      } else if (isBuiltin(specifier)) {
        if (pack === 'engine') fault('the engine uses no Node built-in');
        else if (!shells.includes(pack) && /^(?:node:)?process$/.test(specifier))
          fault('only a shell speaks to the process');
      } else if (!rule.outside.some((name) => specifier === name || specifier.startsWith(`${name}/`)))
        fault(`${pack} has no leave to use it`);
    }
  }
  return faults;
}

/** Every circle of imports, once, as the files along it. */
function cyclesOf(graph: ImportGraph): readonly (readonly string[])[] {
  const cycles: string[][] = [];
  const finished = new Set<string>();
  const path: string[] = [];
  const visit = (file: string): void => {
    const start = path.indexOf(file);
    if (start >= 0) {
      cycles.push([...path.slice(start), file]);
      return;
    }
    if (finished.has(file)) return;
    path.push(file);
    for (const specifier of graph.get(file) ?? []) {
      const target = posix.join(posix.dirname(file), specifier);
      if (specifier.startsWith('.') && graph.has(target)) visit(target);
    }
    path.pop();
    finished.add(file);
  };
  for (const file of graph.keys()) visit(file);
  return cycles;
}

async function globalFaults(sources: Sources): Promise<readonly string[]> {
  const faults = await Promise.all(
    Object.entries(sources).map(async ([file, text]) => {
      const { pack } = placeOf(file);
      const forbidden = [
        ...(pack === 'engine' ? impureGlobals : []),
        ...(shells.includes(pack) ? [] : shellGlobals),
      ];
      const used = [
        ...(await globalsUsed(file, text, forbidden, pureMembers)),
        ...(pack === 'engine' ? await methodsUsed(file, text, impureMethods) : []),
      ];
      return used.map((name) => `${file}: uses ${name}`);
    }),
  );
  return faults.flat();
}

/** Every way in which these sources break the boundaries, as lines to read; none for sources in order. */
export async function boundaryFaults(sources: Sources): Promise<readonly string[]> {
  const graph = await importGraph(sources);
  return [
    ...importFaults(graph),
    ...cyclesOf(graph).map((cycle) => `a circle of imports: ${cycle.join(' → ')}`),
    ...(await globalFaults(sources)),
  ].sort();
}
