import { Command } from 'commander';
import { NodeFiles } from '../node-files.js';

/** The language server. `--stdio`, `--node-ipc` and `--socket=PORT` are read by the connection itself. */
export default new Command('serve')
  .description('language server for editors')
  .option('--stdio', 'speak over standard input and output')
  .option('--node-ipc', 'speak over the channel of a parent process')
  .option('--socket <port>', 'speak over a local socket')
  .option('--clientProcessId <id>', 'process to end with')
  .action(async () => {
    // Loaded here, so that the other commands start without it.
    const [{ createConnection, ProposedFeatures }, { startServer }] = await Promise.all([import('vscode-languageserver/node'), import('../../lsp/server.js')]);
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
    await new Promise(() => undefined);
  });
