/** The extension where the editor runs in a browser: the server is a web worker. */
import * as vscode from 'vscode';
import {
  BrowserMessageReader,
  BrowserMessageWriter,
  LanguageClient,
  type MessageTransports,
} from 'vscode-languageclient/browser';
import { activateEverywhere } from './activate.js';
import type { ServerLink } from './link/server-link.js';

/** As browsers have it. */
declare class Worker {
  constructor(url: string);
  terminate(): void;
}
type Port = ConstructorParameters<typeof BrowserMessageReader>[0];

let link: ServerLink | undefined;
let worker: Worker | undefined;

export async function activate(context: vscode.ExtensionContext): Promise<void> {
  const module = vscode.Uri.joinPath(context.extensionUri, 'out', 'server-web.js').toString(true);
  // The editor's own workers are no instances of the class that makes them, so the client would not know one.
  const start = (): Promise<MessageTransports> => {
    worker?.terminate();
    worker = new Worker(module);
    return Promise.resolve({
      reader: new BrowserMessageReader(worker as Port),
      writer: new BrowserMessageWriter(worker as Port),
    });
  };
  link = await activateEverywhere(context, options => new LanguageClient('gusset', 'Gusset', start, options));
}

export async function deactivate(): Promise<void> {
  await link?.stop();
  worker?.terminate();
}
