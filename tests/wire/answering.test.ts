/** Requests are answered while the server's thread hears nothing, and only then. */
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import {
  LSPErrorCodes,
  type DataCallback,
  type Message,
  type MessageReader,
  type MessageWriter,
} from 'vscode-languageserver-protocol';
import { answerBetween, type Wire } from '../../server/lsp/answering.js';

type Plain = Message & { id?: number; method?: string; result?: unknown; error?: { code: number } };

/** One end of a wire: what is written to it, and a way to say something on it. */
function end(): { wire: Wire; written: Plain[]; say: (message: object) => void } {
  const written: Plain[] = [];
  let callback: DataCallback;
  const wire = {
    reader: { listen: (listener: DataCallback) => void (callback = listener) } as unknown as MessageReader,
    writer: { write: (message: Plain) => Promise.resolve(void written.push(message)) } as unknown as MessageWriter,
  };
  return { wire, written, say: message => callback({ jsonrpc: '2.0', ...message }) };
}

let client: ReturnType<typeof end>;
let server: ReturnType<typeof end>;
let isBusy: boolean;

beforeEach(() => {
  vi.useFakeTimers();
  [client, server, isBusy] = [end(), end(), false];
  answerBetween(client.wire, server.wire, () => new Promise<void>(resolve => void (isBusy || resolve())));
});
afterEach(() => vi.useRealTimers());

const hover = { id: 1, method: 'textDocument/hover', params: {} };

test('messages are passed on both ways', () => {
  client.say(hover);
  server.say({ id: 1, result: null });
  server.say({ method: 'gusset/settled' });
  expect(server.written).toMatchObject([hover]);
  expect(client.written).toMatchObject([{ id: 1, result: null }, { method: 'gusset/settled' }]);
});

test('a server that hears takes the time that it needs', async () => {
  client.say(hover);
  await vi.advanceTimersByTimeAsync(60_000);
  expect(client.written).toEqual([]);
});

test('for one that hears nothing, the client is told to ask again; what comes too late is dropped', async () => {
  isBusy = true;
  client.say(hover);
  client.say({ id: 2, method: 'textDocument/diagnostic', params: {} });
  await vi.advanceTimersByTimeAsync(1_000);
  expect(client.written).toMatchObject([
    { id: 1, error: { code: LSPErrorCodes.ContentModified } },
    { id: 2, error: { code: LSPErrorCodes.ServerCancelled, data: { retriggerRequest: true } } },
  ]);
  expect(server.written.slice(2)).toMatchObject([
    { method: '$/cancelRequest', params: { id: 1 } },
    { method: '$/cancelRequest', params: { id: 2 } },
  ]);
  isBusy = false;
  server.say({ id: 1, result: null });
  client.say({ ...hover, id: 3 });
  server.say({ id: 3, result: null });
  expect(client.written.slice(2)).toMatchObject([{ id: 3, result: null }]);
});

test('what changes something is not asked for twice', async () => {
  isBusy = true;
  for (const [id, method] of ['initialize', 'shutdown', 'workspace/executeCommand', 'gusset/trial'].entries())
    client.say({ id, method, params: {} });
  await vi.advanceTimersByTimeAsync(60_000);
  expect(client.written).toEqual([]);
});
