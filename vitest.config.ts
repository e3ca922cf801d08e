import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    // Two cores are the machine this is tuned for.
    maxWorkers: 2,
    // For what hangs: a machine with other work in hand is slow and not wrong.
    testTimeout: 300_000,
    hookTimeout: 300_000,
    expect: { poll: { timeout: 120_000 } },
  },
});
