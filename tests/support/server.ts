/** The server process, driven over its real protocol. */
import { spawn, type ChildProcess } from 'node:child_process';
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { mkdtemp, mkdir, rm, writeFile } from 'node:fs/promises';
import { once } from 'node:events';
import { createServer, type AddressInfo, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import {
  createMessageConnection,
  LSPErrorCodes,
  ResponseError,
  StreamMessageReader,
  StreamMessageWriter,
  type MessageConnection,
} from 'vscode-languageserver-protocol/node';
import { TextDocument } from 'vscode-languageserver-textdocument';
import type { Diagnostic, Position, Range, TextEdit } from 'vscode-languageserver-types';
import { URI } from 'vscode-uri';
import { libraryTextMessage, settledMessage, type ClientOptions } from '../../server/protocol/messages.js';

export interface Published {
  readonly uri: string;
  readonly version?: number;
  readonly diagnostics: readonly Diagnostic[];
}

/** What the editor says of itself; where it says nothing else, that it has views. */
export interface ClientSetup {
  readonly capabilities?: object;
  readonly options?: ClientOptions;
  /** Arguments for Node, and a channel of messages to what they bring along. */
  readonly node?: readonly string[];
  /** Over a socket instead of standard input and output. */
  readonly socket?: true;
  /** How the editor writes the address of a file. */
  readonly spell?: (address: string) => string;
}

/** What a server says that is still evaluating the model. */
const ASK_AGAIN: ReadonlySet<number> = new Set([LSPErrorCodes.ContentModified, LSPErrorCodes.ServerCancelled]);
/** Of a wait, in milliseconds; the machine may be busy. */
const PATIENCE = 120_000;

export class TestServer {
  readonly published: Published[] = [];
  /** What the server wrote to its log: a defect in a feature ends up here. */
  readonly logged: string[] = [];
  /** Refreshes that the server asked for. */
  readonly refreshed: string[] = [];
  capabilities: Readonly<Record<string, unknown>> = {};
  private readonly waiting = new Set<() => void>();
  /**
   * Changes that the server was told, how many of them it has received for certain, and how many had been when it last
   * said that it settled.
   */
  private readonly changes = { told: 0, received: -1, settled: -1 };
  private versions = new Map<string, number>();
  readonly texts = new Map<string, string>();

  private constructor(
    readonly folder: string,
    readonly connection: MessageConnection,
    readonly child: ChildProcess,
    readonly exited: Promise<number | null>,
    private readonly spell: (address: string) => string = address => address,
  ) {}

  static async start(files: Readonly<Record<string, string>>, setup: ClientSetup = {}): Promise<TestServer> {
    const folder = await mkdtemp(join(tmpdir(), 'gusset-wire-'));
    for (const [path, text] of Object.entries(files)) {
      await mkdir(dirname(join(folder, path)), { recursive: true });
      await writeFile(join(folder, path), text);
    }
    return TestServer.startIn(folder, files, setup);
  }

  /** A server over a copy of an example project, every file of it. */
  static startExample(name: string, setup: ClientSetup = {}): Promise<TestServer> {
    const folder = join('examples', name);
    const paths = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter(path =>
      statSync(join(folder, path)).isFile(),
    );
    return TestServer.start(
      Object.fromEntries(paths.map(path => [path, readFileSync(join(folder, path), 'utf8')])),
      setup,
    );
  }

  /** A server over a folder that exists; its sources are read where `files` does not give them. */
  static async startIn(
    folder: string,
    files?: Readonly<Record<string, string>>,
    setup: ClientSetup = {},
  ): Promise<TestServer> {
    const door = setup.socket ? createServer().listen(0, '127.0.0.1') : undefined;
    if (door) await once(door, 'listening');
    const way = door ? ['--socket', String((door.address() as AddressInfo).port)] : ['--stdio'];
    const child = spawn(process.execPath, [...(setup.node ?? []), 'out/cli.mjs', 'serve', ...way], {
      stdio: ['pipe', 'pipe', 'inherit', setup.node ? 'ipc' : 'ignore'],
    });
    const socket = door && ((await once(door, 'connection')) as [Socket])[0];
    door?.close();
    const connection = createMessageConnection(
      new StreamMessageReader(socket ?? child.stdout!),
      new StreamMessageWriter(socket ?? child.stdin!),
    );
    const exited = new Promise<number | null>(resolve => child.once('exit', code => resolve(code)));
    const server = new TestServer(folder, connection, child, exited, setup.spell);
    const texts =
      files ??
      Object.fromEntries(
        readdirSync(folder)
          .filter(path => path.endsWith('.gus'))
          .map(path => [path, readFileSync(join(folder, path), 'utf8')]),
      );
    for (const [path, text] of Object.entries(texts)) server.texts.set(path, text);
    connection.onNotification('textDocument/publishDiagnostics', (params: Published) => {
      server.published.push(params);
      server.wake();
    });
    connection.onNotification(
      'window/logMessage',
      ({ message }: { message: string }) => void server.logged.push(message),
    );
    for (const method of [
      'workspace/diagnostic/refresh',
      'workspace/codeLens/refresh',
      'workspace/inlayHint/refresh',
      'workspace/semanticTokens/refresh',
    ]) {
      connection.onRequest(method, () => {
        server.refreshed.push(method);
        server.wake();
        return null;
      });
    }
    for (const method of ['client/registerCapability', 'client/unregisterCapability'])
      connection.onRequest(method, () => null);
    connection.onNotification(settledMessage.method, () => {
      server.changes.settled = server.changes.received;
      server.wake();
    });
    connection.listen();
    const { capabilities } = await connection.sendRequest<{ capabilities: Record<string, unknown> }>('initialize', {
      processId: process.pid,
      rootUri: server.uri(''),
      capabilities: setup.capabilities ?? {},
      initializationOptions: { hasViews: true, ...setup.options },
      workspaceFolders: [{ uri: server.uri(''), name: 'test' }],
    });
    server.capabilities = capabilities;
    await server.tell('initialized', {});
    return server;
  }

  uri(path: string): string {
    return this.spell(pathToFileURL(join(this.folder, path)).toString().replace(/\/$/, ''));
  }

  async open(path: string): Promise<void> {
    this.versions.set(path, 1);
    await this.tell('textDocument/didOpen', {
      textDocument: { uri: this.uri(path), languageId: 'gusset', version: 1, text: this.texts.get(path)! },
    });
  }

  /** Replaces the first `from` in an open document, as an editor would. Returns the new version. */
  edit(path: string, from: string, to: string): Promise<number> {
    const offset = this.texts.get(path)!.indexOf(from);
    if (offset < 0) throw new Error(`${path} does not hold ${from}`);
    return this.replace(path, offset, offset + from.length, to);
  }

  /** Brings an open document to another text by one change of what differs. Returns the new version. */
  change(path: string, next: string): Promise<number> {
    const text = this.texts.get(path)!;
    const shorter = Math.min(text.length, next.length);
    let start = 0;
    while (start < shorter && text[start] === next[start]) start++;
    let same = 0;
    while (same < shorter - start && text.at(-1 - same) === next.at(-1 - same)) same++;
    return this.replace(path, start, text.length - same, next.slice(start, next.length - same));
  }

  private async replace(path: string, start: number, end: number, to: string): Promise<number> {
    const text = this.texts.get(path)!;
    const version = this.versions.get(path)! + 1;
    this.versions.set(path, version);
    this.texts.set(path, text.slice(0, start) + to + text.slice(end));
    await this.tell('textDocument/didChange', {
      textDocument: { uri: this.uri(path), version },
      contentChanges: [{ range: { start: positionOf(text, start), end: positionOf(text, end) }, text: to }],
    });
    return version;
  }

  /**
   * Tells the server a change. What it said of having settled before it answers the request behind may be about the
   * texts before.
   */
  async tell(method: string, params: object): Promise<void> {
    const change = method === 'initialized' ? 0 : ++this.changes.told;
    const told = this.connection.sendNotification(method, params);
    // In the same breath: a test that is busy in between would ask only after the server has settled.
    this.connection.sendRequest(libraryTextMessage.method, { uri: '' }).then(
      () => {
        this.changes.received = change;
      },
      () => undefined,
    );
    await told;
  }

  /** Waits until the server has read and judged everything that it was told, data files included. */
  async settled(): Promise<void> {
    await this.reached(
      () => this.changes.settled === this.changes.told || undefined,
      () => `The server did not settle. ${JSON.stringify(this.changes)}`,
    );
  }

  position(path: string, needle: string, at = 0): { line: number; character: number } {
    return positionOf(this.texts.get(path)!, this.texts.get(path)!.indexOf(needle) + at);
  }

  /** The text of a range of a document. */
  textAt(path: string, range: Range): string {
    const text = this.texts.get(path)!;
    return text.slice(offsetOf(text, range.start), offsetOf(text, range.end));
  }

  /** A document as it is after edits of the protocol. */
  edited(path: string, edits: readonly TextEdit[]): string {
    return TextDocument.applyEdits(TextDocument.create('', 'gusset', 1, this.texts.get(path)!), [...edits]);
  }

  request<T>(method: string, path: string, params: object): Promise<T> {
    return this.ask(method, { textDocument: { uri: this.uri(path) }, ...params });
  }

  /** Asks until the model is evaluated, as an editor does. */
  async ask<T>(method: string, params: object): Promise<T> {
    for (;;) {
      try {
        return await this.connection.sendRequest<T>(method, params);
      } catch (error) {
        if (!(error instanceof ResponseError) || !ASK_AGAIN.has(error.code)) throw error;
        await new Promise(resolve => setTimeout(resolve, 50));
      }
    }
  }

  /** The last findings of a file. */
  findings(path: string): readonly Diagnostic[] {
    const uri = normal(this.uri(path));
    return this.published.findLast(entry => normal(entry.uri) === uri)?.diagnostics ?? [];
  }

  /** Waits until the findings of a file (at a version, where given) satisfy a condition. */
  async until(
    path: string,
    condition: (diagnostics: readonly Diagnostic[]) => boolean,
    version?: number,
  ): Promise<readonly Diagnostic[]> {
    const uri = normal(this.uri(path));
    const entry = await this.reached(
      () =>
        this.published.findLast(
          published =>
            normal(published.uri) === uri &&
            (version === undefined || published.version === version) &&
            condition(published.diagnostics),
        ),
      () => `No such findings of ${path}; last: ${JSON.stringify(this.findings(path), null, 1)}`,
    );
    return entry.diagnostics;
  }

  /** Looks again whenever the server said something. */
  private async reached<T>(look: () => T | undefined, failure: () => string): Promise<T> {
    const end = Date.now() + PATIENCE;
    for (;;) {
      const found = look();
      if (found !== undefined) return found;
      if (Date.now() > end) throw new Error(failure());
      await new Promise<void>(resolve => {
        this.waiting.add(resolve);
        setTimeout(resolve, 200);
      });
    }
  }

  private wake(): void {
    for (const resolve of this.waiting) resolve();
    this.waiting.clear();
  }

  async close(): Promise<void> {
    await this.connection.sendRequest('shutdown');
    await this.connection.sendNotification('exit');
    await Promise.race([this.exited, new Promise(resolve => setTimeout(resolve, 2_000))]);
    this.connection.dispose();
    this.child.kill();
    await rm(this.folder, { recursive: true, force: true });
  }
}

/** One spelling for an address. */
function normal(uri: string): string {
  const known = spellings.get(uri);
  if (known !== undefined) return known;
  const one = URI.parse(uri).toString();
  spellings.set(uri, one);
  return one;
}

/** All that was published is gone through at each word of the server. */
const spellings = new Map<string, string>();

function positionOf(text: string, offset: number): { line: number; character: number } {
  const before = text.slice(0, offset).split('\n');
  return { line: before.length - 1, character: before[before.length - 1]!.length };
}

function offsetOf(text: string, { line, character }: Position): number {
  return (
    text
      .split('\n')
      .slice(0, line)
      .reduce((sum, next) => sum + next.length + 1, 0) + character
  );
}
