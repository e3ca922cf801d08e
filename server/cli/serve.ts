/** The language server over the files of this machine. */
import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import { startServer } from '../lsp/server.js';
import { NodeFiles } from './node-files.js';

export function serve(): void {
  const connection = createConnection(ProposedFeatures.all);
  startServer(connection, {
    today: new Date().toISOString().slice(0, 10),
    openFiles: async folder => {
      const files = await NodeFiles.open(folder);
      return files && {
        sources: async () => {
          const texts = new Map<string, string>();
          for (const path of (await files.sources()).paths) {
            const file = await files.readText(path);
            if (!('message' in file)) texts.set(path, file.text);
          }
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
      };
    },
  });
}
