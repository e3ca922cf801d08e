import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    // Two cores are the machine this is tuned for.
    maxWorkers: 2,
  },
});
