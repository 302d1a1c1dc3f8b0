import { defineConfig } from 'vitest/config';

export default defineConfig({
  resolve: { conditions: ['source'] },
  ssr: { resolve: { conditions: ['source'] } },
  test: {
    include: ['tests/**/*.test.ts', 'packages/*/test/**/*.test.ts'],
    testTimeout: 60_000,
    pool: 'threads',
    // Left to itself, vitest leaves one of two cores idle.
    maxWorkers: '100%',
  },
});
