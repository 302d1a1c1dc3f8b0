import { build, transform } from 'esbuild';

/** Source files by path from the root of the checkout, with forward slashes. */
export type Sources = Readonly<Record<string, string>>;

/** What each file imports, as it is written there: values and types, static and dynamic. */
export type ImportGraph = ReadonlyMap<string, readonly string[]>;

const loaderOf = (file: string): 'ts' | 'tsx' | 'js' =>
  file.endsWith('.ts') ? 'ts' : file.endsWith('.tsx') ? 'tsx' : 'js';

/** Types vanish before esbuild lists imports, so a type-only import is made an ordinary one first. */
const withTypesAsValues = (text: string): string =>
  text.replace(/\b(import|export)\s+type\s+(?=[{*]|\w+\s+from\b)/g, '$1 ');

/** Imports written inside a type, as in `import('./plan.ts').Plan`, which no rewriting keeps. */
const importsInTypes = (text: string): readonly string[] =>
  [...text.matchAll(/\bimport\(\s*'([^']+)'\s*\)/g)].flatMap((match) => match[1] ?? []);

/** Reads the imports of every file with esbuild's own parser. Throws esbuild's failure for a file that does not parse. */
export async function importGraph(sources: Sources): Promise<ImportGraph> {
  const files = Object.keys(sources).filter((file) => !file.endsWith('.d.ts'));
  const { metafile } = await build({
    entryPoints: files.map((file) => ({ in: `source:${file}`, out: file })),
    outdir: 'nowhere',
    bundle: true,
    write: false,
    metafile: true,
    format: 'esm',
    logLevel: 'silent',
    tsconfigRaw: {
      compilerOptions: { verbatimModuleSyntax: true, jsx: 'react-jsx', jsxImportSource: 'preact' },
    },
    plugins: [
      {
        name: 'sources',
        setup(plugin) {
          plugin.onResolve({ filter: /.*/ }, ({ path, kind }) =>
            kind === 'entry-point'
              ? { path: path.replace(/^source:/, ''), namespace: 'source' }
              : { path, external: true },
          );
          plugin.onLoad({ filter: /.*/, namespace: 'source' }, ({ path }) => ({
            contents: withTypesAsValues(sources[path] ?? ''),
            loader: loaderOf(path),
          }));
        },
      },
    ],
  });
  return new Map(
    files.map((file) => {
      const listed = (metafile.inputs[`source:${file}`]?.imports ?? []).map(({ path }) => path);
      return [file, [...new Set([...listed, ...importsInTypes(sources[file] ?? '')])]] as const;
    }),
  );
}

/**
 * Which of these global names a file uses, such as `Date.now` or `console`. esbuild finds them, so a comment,
 * a text or a local name of the same spelling is not mistaken for one. `except` are members that do not count.
 */
export async function globalsUsed(
  file: string,
  text: string,
  names: readonly string[],
  except: readonly string[] = [],
): Promise<readonly string[]> {
  const markOf = (name: string): string => `__global_${name.replaceAll('.', '_')}__`;
  const { code } = await transform(text, {
    loader: loaderOf(file),
    define: Object.fromEntries([
      ...names.map((name) => [name, markOf(name)]),
      ...except.map((name) => [name, name]),
    ]),
    logLevel: 'silent',
  });
  return names.filter((name) => code.includes(markOf(name)));
}

/** Which of these methods a file calls on anything, by name. Comments are not looked at. */
export async function methodsUsed(file: string, text: string, method: RegExp): Promise<readonly string[]> {
  const { code } = await transform(text, {
    loader: loaderOf(file),
    minifyWhitespace: true,
    legalComments: 'none',
    logLevel: 'silent',
  });
  return [...new Set([...code.matchAll(method)].map(([found]) => found))];
}
