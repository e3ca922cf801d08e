import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    // Two cores are the machine this is tuned for.
    maxWorkers: 2,
    // A machine with other work in hand is slow and not wrong.
    testTimeout: 60_000,
    hookTimeout: 60_000,
    expect: { poll: { timeout: 20_000 } },
  },
});
