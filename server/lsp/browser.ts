/** The language server in a web worker; all files come through the editor. */
import { BrowserMessageReader, BrowserMessageWriter, createConnection } from 'vscode-languageserver/browser';
import { startServer } from './server.js';

declare const self: ConstructorParameters<typeof BrowserMessageReader>[0];

startServer(createConnection(new BrowserMessageReader(self), new BrowserMessageWriter(self)), {
  today: new Date().toLocaleDateString('sv'),
  openFiles: () => Promise.resolve(undefined),
});
