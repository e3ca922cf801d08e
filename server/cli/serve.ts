/**
 * The language server over the files of this machine: a thread that evaluates, and before it this one, which answers
 * the client while that one can't.
 */
import { getHeapStatistics } from 'node:v8';
import { isMainThread, MessageChannel, parentPort, Worker, workerData, type MessagePort } from 'node:worker_threads';
import {
  createConnection,
  createServerPipeTransport,
  createServerSocketTransport,
  IPCMessageReader,
  IPCMessageWriter,
  PortMessageReader,
  PortMessageWriter,
  ProposedFeatures,
  StreamMessageReader,
  StreamMessageWriter,
} from 'vscode-languageserver/node';
import { URI } from 'vscode-uri';
import { answerBetween, type Wire } from '../lsp/answering.js';
import { startServer } from '../lsp/server.js';
import { today } from './day.js';
import { exitCodes } from './outcome.js';
import { NodeFiles } from './node-files.js';
import { ReachingFiles } from './reaching-files.js';

/** How the client is spoken to; by the arguments that editors use. */
export interface Transport {
  readonly nodeIpc?: true;
  readonly socket?: string;
  readonly pipe?: string;
}

/** What the thread is given. */
interface ThreadData {
  readonly languageServer: { readonly hearing: MessagePort };
}

export function serve(transport: Transport): void {
  const hearing = new MessageChannel();
  // The thread begins with this module again; it gets as much memory as the process would have.
  const thread = new Worker(new URL(import.meta.url), {
    workerData: { languageServer: { hearing: hearing.port2 } } satisfies ThreadData,
    transferList: [hearing.port2],
    resourceLimits: { maxOldGenerationSizeMb: Math.floor(getHeapStatistics().heap_size_limit / 2 ** 20) },
    stdout: true,
  });
  // Standard output belongs to the protocol.
  thread.stdout.pipe(process.stderr);
  thread.on('error', error => {
    process.stderr.write(`The language server ended: ${error.message}\n`);
    process.exit(exitCodes.unusable);
  });
  thread.on('exit', code => process.exit(code));
  const client = wireOf(transport);
  client.reader.onClose(() => process.exit(exitCodes.unusable));
  let heard: Promise<void> | null = null;
  const hears = (): Promise<void> =>
    (heard ??= new Promise<void>(resolve => {
      hearing.port1.once('message', resolve).postMessage(null);
    }).finally(() => (heard = null)));
  answerBetween(client, { reader: new PortMessageReader(thread), writer: new PortMessageWriter(thread) }, hears);
}

function wireOf({ nodeIpc, socket, pipe }: Transport): Wire {
  if (nodeIpc) return { reader: new IPCMessageReader(process), writer: new IPCMessageWriter(process) };
  const pair =
    pipe !== undefined
      ? createServerPipeTransport(pipe)
      : socket !== undefined
        ? createServerSocketTransport(Number(socket))
        : null;
  return pair
    ? { reader: pair[0], writer: pair[1] }
    : { reader: new StreamMessageReader(process.stdin), writer: new StreamMessageWriter(process.stdout) };
}

// ---- the thread that evaluates --------------------------------------------------------------------------------------

function startThread({ hearing }: ThreadData['languageServer'], port: MessagePort): void {
  hearing.on('message', () => hearing.postMessage(null));
  const connection = createConnection(ProposedFeatures.all, new PortMessageReader(port), new PortMessageWriter(port));
  startServer(connection, {
    today: today(),
    openFiles: async (folder, allowed) => {
      const uri = URI.parse(folder);
      const files = uri.scheme === 'file' ? await NodeFiles.open(uri.fsPath) : undefined;
      return files && new ReachingFiles(files, () => allowed().map(address => URI.parse(address).fsPath));
    },
  });
}

const { languageServer } = (workerData ?? {}) as Partial<ThreadData>;
if (!isMainThread && parentPort && languageServer) startThread(languageServer, parentPort);
