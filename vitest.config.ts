import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    projects: [
      {
        test: {
          name: 'unit',
          // one after the other: a browser beside a busy machine is no fair test of what a person would see
          sequence: { groupOrder: 0 },
          include: ['test/**/*.test.{ts,tsx}'],
          exclude: ['test/integration/**', 'test/browser/**'],
        },
      },
      {
        test: {
          name: 'integration',
          sequence: { groupOrder: 1 },
          fileParallelism: false,
          include: ['test/integration/**/*.test.ts'],
          testTimeout: 60_000,
          hookTimeout: 60_000,
        },
      },
      {
        test: {
          name: 'browser',
          sequence: { groupOrder: 2 },
          include: ['test/browser/**/*.test.ts'],
          testTimeout: 180_000,
          hookTimeout: 120_000,
          fileParallelism: false,
        },
      },
    ],
  },
});
