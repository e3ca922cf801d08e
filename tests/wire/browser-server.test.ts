/** The server for browsers, in a world without Node: files come through the client's requests. */
import { readFileSync } from 'node:fs';
import { createContext, runInContext } from 'node:vm';
import { MessageChannel } from 'node:worker_threads';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Diagnostic } from 'vscode-languageserver-types';
import { toBase64 } from '../../server/protocol/base64.js';

interface Message {
  readonly id?: number;
  readonly method?: string;
  readonly params?: never;
  readonly result?: unknown;
  readonly error?: { readonly message: string };
}

/** A web worker's global object with nothing beyond what browsers have, and the client's end of its channel. */
class WorkerServer {
  private readonly listeners: ((event: { data: Message }) => void)[] = [];
  private readonly answers = new Map<number, (message: Message) => void>();
  private readonly handlers = new Map<string, (params: never) => unknown>();
  private count = 0;
  private readonly channels: MessageChannel[] = [];

  constructor() {
    const { channels } = this;
    class OwnChannel extends MessageChannel {
      constructor() {
        super();
        channels.push(this);
      }
    }
    const self = {
      addEventListener: (type: string, listener: never) => type === 'message' && this.listeners.push(listener),
      removeEventListener: () => undefined,
      postMessage: (message: Message) => this.receive(message),
      onmessage: null as never,
    };
    Object.defineProperty(self, 'onmessage', { set: listener => this.listeners.push(listener) });
    runInContext(
      readFileSync('out/server-web.js', 'utf8'),
      createContext({
        self,
        MessageChannel: OwnChannel,
        TextDecoder,
        TextEncoder,
        atob,
        btoa,
        structuredClone,
        setTimeout,
        clearTimeout,
        setInterval,
        clearInterval,
        console,
      }),
    );
  }

  on(method: string, handler: (params: never) => unknown): void {
    this.handlers.set(method, handler);
  }

  request<T>(method: string, params: object): Promise<T> {
    const id = ++this.count;
    return new Promise((resolve, reject) => {
      this.answers.set(id, message =>
        message.error ? reject(new Error(message.error.message)) : resolve(message.result as T),
      );
      this.send({ jsonrpc: '2.0', id, method, params });
    });
  }

  notify(method: string, params: object): void {
    this.send({ jsonrpc: '2.0', method, params });
  }

  close(): void {
    for (const { port1 } of this.channels) port1.close();
  }

  private send(message: object): void {
    for (const listener of this.listeners) listener({ data: message as Message });
  }

  private receive(message: Message): void {
    if (message.method === undefined) this.answers.get(message.id!)?.(message);
    else {
      const result = this.handlers.get(message.method)?.(message.params!) ?? null;
      if (message.id !== undefined) setTimeout(() => this.send({ jsonrpc: '2.0', id: message.id, result }));
    }
  }
}

const SOURCES: Readonly<Record<string, string>> = {
  'project.gus': 'project P "P" { date = 2027-01-01 }\ntable Run = file("run.csv") { vm as MPa "VM" }\n',
  'limit.gus':
    'requirement R-1 "The stress shall stay below 100 MPa." {\n  check max(Run.vm) <= 100 MPa\n  verify by analysis\n}\n',
  'run.csv': 'VM [MPa]\n80\n120\n',
};
const ROOT = 'vscode-vfs://host/cordgrass';
const OTHER = 'vscode-vfs://host/copy';

describe('the server in a web worker', () => {
  const server = new WorkerServer();
  const findings = new Map<string, readonly Diagnostic[]>();
  const files: Record<string, string> = { ...SOURCES };
  const reads: string[] = [];
  const codes = (path: string, root: string): unknown[] =>
    (findings.get(`${root}/${path}`) ?? []).map(finding => finding.code);
  beforeAll(async () => {
    server.on(
      'textDocument/publishDiagnostics',
      ({ uri, diagnostics }: { uri: string; diagnostics: readonly Diagnostic[] }) => findings.set(uri, diagnostics),
    );
    server.on('gusset/files/list', () => Object.keys(files).filter(path => path.endsWith('.gus')));
    server.on('gusset/files/read', ({ path }: { path: string }) => {
      reads.push(path);
      return path in files
        ? { base64: toBase64(new TextEncoder().encode(files[path])) }
        : { problem: `${path} does not exist in the workspace.` };
    });
    server.on('gusset/files/exists', ({ path }: { path: string }) => path in files);
    await server.request('initialize', {
      processId: null,
      rootUri: null,
      capabilities: { workspace: { workspaceFolders: true } },
      initializationOptions: { servesFiles: true },
      workspaceFolders: [{ uri: ROOT, name: 'cordgrass' }],
    });
    server.notify('initialized', {});
  });
  afterAll(() => server.close());

  test('judges a margin whose number comes from a data file, in a file that is not open', async () => {
    await expect.poll(() => codes('limit.gus', ROOT)).toContain('failing-margin');
    expect(findings.get(`${ROOT}/limit.gus`)!.find(finding => finding.code === 'failing-margin')!.message).toContain(
      '120 MPa',
    );
    expect(reads.toSorted()).toEqual(['limit.gus', 'project.gus', 'run.csv']);
  });

  test('reads the data again when they changed', async () => {
    files['run.csv'] = 'VM [MPa]\n80\n90\n';
    server.notify('workspace/didChangeWatchedFiles', { changes: [{ uri: `${ROOT}/run.csv`, type: 2 }] });
    await expect.poll(() => reads.filter(path => path === 'run.csv')).toHaveLength(2);
    await expect.poll(() => codes('limit.gus', ROOT)).not.toContain('failing-margin');
  });

  test('a document outside every folder is judged alone, and its findings go when it is closed', async () => {
    server.notify('textDocument/didOpen', {
      textDocument: { uri: 'untitled:Untitled-1', languageId: 'gusset', version: 1, text: 'let a = 2 mm + 3 kg\n' },
    });
    await expect.poll(() => findings.get('untitled:Untitled-1')?.map(finding => finding.code)).toContain('cannot-add');
    server.notify('textDocument/didClose', { textDocument: { uri: 'untitled:Untitled-1' } });
    await expect.poll(() => findings.get('untitled:Untitled-1')).toEqual([]);
  });

  test('each workspace folder has its own projects, and its findings go with it', async () => {
    files['run.csv'] = 'VM [MPa]\n80\n120\n';
    server.notify('workspace/didChangeWorkspaceFolders', {
      event: { added: [{ uri: OTHER, name: 'copy' }], removed: [] },
    });
    await expect.poll(() => codes('limit.gus', OTHER)).toContain('failing-margin');
    expect(codes('limit.gus', OTHER)).not.toContain('duplicate-name');
    expect(codes('limit.gus', ROOT)).not.toContain('failing-margin');
    expect(await server.request<unknown[]>('workspace/symbol', { query: 'R-1' })).toHaveLength(2);
    server.notify('workspace/didChangeWorkspaceFolders', {
      event: { added: [], removed: [{ uri: OTHER, name: 'copy' }] },
    });
    await expect.poll(() => codes('limit.gus', OTHER)).toEqual([]);
    expect(await server.request<unknown[]>('workspace/symbol', { query: 'R-1' })).toHaveLength(1);
  });

  test('shows the text of the formula library, and of nothing else', async () => {
    const text = await server.request<string>('gusset/libraryText', { uri: 'gusset:/beams.gus' });
    expect(text).toContain('formula ');
    expect(await server.request('gusset/libraryText', { uri: 'gusset:/nothing.gus' })).toBeNull();
    expect(await server.request('gusset/libraryText', { uri: `${ROOT}/limit.gus` })).toBeNull();
  });
});
