/** One server for all tests of a suite. */
import { afterAll, beforeAll, expect } from 'vitest';
import type { TestServer } from './server.js';

/**
 * Started before the first test, with documents opened and everything settled; closed after the last, and no defect may
 * stand in its log.
 */
export function useServer(
  start: () => Promise<TestServer>,
  open: readonly string[],
  take: (server: TestServer) => void | Promise<void>,
): void {
  let server: TestServer;
  beforeAll(async () => {
    server = await start();
    for (const path of open) await server.open(path);
    await take(server);
    await server.settled();
  });
  afterAll(async () => {
    expect(server.logged).toEqual([]);
    await server.close();
  });
}
