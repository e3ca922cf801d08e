/** The table of `docs/language-features.md` against the protocol, the server's own word and the files it names. */
import { existsSync, readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import * as protocol from 'vscode-languageserver-protocol';
import { FEATURES } from '../support/features.js';
import { TestServer } from '../support/server.js';

const PAGE = readFileSync('docs/language-features.md', 'utf8');
const rows = (part: string): string[][] =>
  [...part.matchAll(/^\| (`.*) \|$/gm)].map(([, row]) => row!.split(' | ').map(cell => cell.trim()));
const plain = (cell: string): string => cell.replaceAll('`', '');
const [supported, unsupported] = PAGE.split('Not supported:').map(rows) as [string[][], string[][]];
const SUPPORTED = supported.map(([method, by, tests, capability]) => ({
  method: plain(method!),
  by: `server/features/catalogue/${plain(by!)}`,
  tests: tests!.split(', ').map(file => `tests/wire/${plain(file)}`),
  capability: plain(capability!),
}));
const UNSUPPORTED = unsupported.map(([method, capability]) => ({
  method: plain(method!),
  capability: plain(capability!),
}));

/** Requests that an editor may make, but for those of the life cycle and of notebooks. */
const REQUESTS = Object.values(protocol)
  .flatMap(entry => {
    const { method, messageDirection, type } = entry as {
      method?: unknown;
      messageDirection?: unknown;
      type?: unknown;
    };
    const isRequest = type instanceof protocol.ProtocolRequestType || type instanceof protocol.ProtocolRequestType0;
    return typeof method === 'string' && messageDirection === 'clientToServer' && isRequest ? [method] : [];
  })
  .filter(method => method.includes('/') && !method.startsWith('notebookDocument/'));

function at(capabilities: unknown, path: string): unknown {
  return path
    .split('.')
    .reduce<unknown>(
      (value, name) =>
        typeof value === 'object' && value !== null ? (value as Record<string, unknown>)[name] : undefined,
      capabilities,
    );
}

describe('the table of language features', () => {
  let pulling: TestServer;
  beforeAll(async () => {
    pulling = await TestServer.start(
      { 'a.gus': 'let x = 1\n' },
      { capabilities: { textDocument: { diagnostic: {} } } },
    );
  });
  afterAll(() => pulling.close());

  test('names every request of the protocol', () => {
    expect(REQUESTS.length).toBeGreaterThan(40);
    expect(
      [...new Set(REQUESTS)].filter(method => ![...SUPPORTED, ...UNSUPPORTED].some(row => row.method === method)),
    ).toEqual([]);
  });

  test('names every standard request that is answered, and no other', () => {
    const answered = FEATURES.map(({ method }) => method).filter(
      method => REQUESTS.includes(method) || method.startsWith('textDocument/semanticTokens/'),
    );
    expect(answered.sort()).toEqual(SUPPORTED.map(({ method }) => method).sort());
  });

  test('agrees with what the server says it can do', () => {
    for (const { method, capability } of SUPPORTED)
      expect(at(pulling.capabilities, capability) || undefined, `${method}: ${capability}`).toBeDefined();
    for (const { method, capability } of UNSUPPORTED)
      expect(at(pulling.capabilities, capability) || undefined, `${method}: ${capability}`).toBeUndefined();
    const said = Object.keys(pulling.capabilities).filter(name => name.endsWith('Provider'));
    expect(said.filter(name => !SUPPORTED.some(({ capability }) => capability.split('.')[0] === name))).toEqual([]);
  });

  test.each(SUPPORTED)('$method is where it says', ({ method, by, tests }) => {
    expect(existsSync(by)).toBe(true);
    expect(readFileSync(by, 'utf8')).toContain(`'${method}'`);
    const words = [
      method,
      method.replace(/^textDocument\/prepare(Call|Type)Hierarchy$/, 'textDocument/prepare${kind}Hierarchy'),
    ];
    for (const file of tests)
      expect(
        words.some(word => readFileSync(file, 'utf8').includes(word)),
        `${file} tests ${method}`,
      ).toBe(true);
  });
});
