import { fileURLToPath } from 'node:url';

/** The page as files that the server sends: index.html, and what it loads from page/. */
export default {
  root: fileURLToPath(new URL('.', import.meta.url)),
  base: '/page/',
  logLevel: 'warn',
  resolve: { conditions: ['source', 'module', 'browser'] },
  // Never as for development, in whatever environment it is built: that form is larger, and tells the files of the sources.
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact', development: false } },
  build: {
    outDir: 'dist',
    emptyOutDir: true,
    target: 'es2022',
    // The policy of the page lets nothing through that is written into it.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    // Which file loads which, for those who measure.
    manifest: true,
  },
};
