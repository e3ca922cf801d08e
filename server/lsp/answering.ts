/**
 * Stands between a client and the server, and answers where the server can't: one item may take longer to calculate
 * than a client waits, and the thread that calculates it hears nothing meanwhile.
 */
import {
  LSPErrorCodes,
  Message,
  type MessageReader,
  type MessageWriter,
  type RequestMessage,
} from 'vscode-languageserver-protocol';
import { later } from './soon.js';

export interface Wire {
  readonly reader: MessageReader;
  readonly writer: MessageWriter;
}

/** Milliseconds after which a request is answered here, if the server does not even hear. */
const PATIENCE = 500;
/** How often is looked, and how long the server may take to say that it hears. */
const LOOK = 100;

/** What changes something must not be asked for twice, and what begins or ends a server has its own time. */
const LEFT_ALONE = /^(initialize|shutdown|workspace\/executeCommand|gusset\/.*)$/;
/** Only for editors that ask for findings and can't be told them. */
export const PULLED: ReadonlySet<string> = new Set(['textDocument/diagnostic', 'workspace/diagnostic']);

interface Waiting {
  readonly request: RequestMessage;
  readonly since: number;
}

/** Passes messages both ways. `hears` comes to an answer as soon as the server's thread has nothing else to do. */
export function answerBetween(client: Wire, server: Wire, hears: () => Promise<unknown>): void {
  const waiting = new Map<RequestMessage['id'], Waiting>();
  /** Requests that were answered here: what the server says of them comes too late. */
  const answered = new Set<RequestMessage['id']>();
  let looking = false;

  client.reader.listen(message => {
    if (Message.isRequest(message) && message.id !== null && !LEFT_ALONE.test(message.method)) {
      waiting.set(message.id, { request: message, since: Date.now() });
      void look();
    }
    void server.writer.write(message);
  });
  server.reader.listen(message => {
    if (Message.isResponse(message) && message.id !== null) {
      waiting.delete(message.id);
      if (answered.delete(message.id)) return;
    }
    void client.writer.write(message);
  });

  async function look(): Promise<void> {
    if (looking) return;
    looking = true;
    while (waiting.size > 0) {
      await later(LOOK);
      if (late().length === 0) continue;
      const isHeard = await Promise.race([hears().then(() => true), later(LOOK)]);
      if (isHeard !== true) for (const { request } of late()) answer(request);
    }
    looking = false;
  }

  function late(): readonly Waiting[] {
    const now = Date.now();
    return [...waiting.values()].filter(({ since }) => now - since >= PATIENCE);
  }

  function answer({ id, method }: RequestMessage): void {
    waiting.delete(id);
    answered.add(id);
    void server.writer.write({ jsonrpc: '2.0', method: '$/cancelRequest', params: { id } } as Message);
    void client.writer.write({ jsonrpc: '2.0', id, error: askAgain(method) } as Message);
  }
}

/** What an editor takes for "ask again". */
export function askAgain(method: string): { readonly code: number; readonly message: string; readonly data?: object } {
  const message = 'The model is still being evaluated.';
  return PULLED.has(method)
    ? { code: LSPErrorCodes.ServerCancelled, message, data: { retriggerRequest: true } }
    : { code: LSPErrorCodes.ContentModified, message };
}
