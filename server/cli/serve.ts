/** The language server over the files of this machine. */
import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import { URI } from 'vscode-uri';
import { startServer } from '../lsp/server.js';
import { NodeFiles } from './node-files.js';

export function serve(): void {
  const connection = createConnection(ProposedFeatures.all);
  startServer(connection, {
    today: new Date().toISOString().slice(0, 10),
    openFiles: async folder => {
      const uri = URI.parse(folder);
      const files = uri.scheme === 'file' ? await NodeFiles.open(uri.fsPath) : undefined;
      return (
        files && {
          sources: async () => {
            const texts = new Map<string, string>();
            const read = await Promise.all((await files.sources()).paths.map(path => files.readText(path)));
            for (const file of read) if (!('message' in file)) texts.set(file.path, file.text);
            return texts;
          },
          text: async path => {
            const file = await files.readText(path);
            return 'message' in file ? null : file.text;
          },
          bytes: async path => {
            const file = await files.readBytes(path);
            return 'message' in file ? file : file.bytes;
          },
          exists: path => files.exists(path),
        }
      );
    },
  });
}
