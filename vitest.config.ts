import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    // Two cores are the machine this is tuned for.
    maxWorkers: 2,
    // They may be busy with other things too.
    testTimeout: 30_000,
    hookTimeout: 60_000,
    expect: { poll: { timeout: 20_000 } },
  },
});
