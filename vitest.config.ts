import { defineConfig } from 'vitest/config';

export default defineConfig({
  resolve: { conditions: ['source'] },
  ssr: { resolve: { conditions: ['source'] } },
  test: {
    // What is built is made ready once, before anything runs: no test builds beneath another.
    globalSetup: ['tests/prepare.js'],
    include: ['tests/**/*.test.ts', 'packages/*/test/**/*.test.ts'],
    // Property tests and proofs take their time on a busy machine; what hangs is caught all the same.
    testTimeout: 180_000,
    hookTimeout: 120_000,
    pool: 'threads',
    // Left to itself, vitest leaves one of two cores idle.
    maxWorkers: '100%',
  },
});
