import { Command } from 'commander';

/** The language server. `--stdio`, `--node-ipc` and `--socket=PORT` are read by the connection itself. */
export default new Command('serve')
  .description('language server for editors')
  .option('--stdio', 'speak over standard input and output')
  .option('--node-ipc', 'speak over the channel of a parent process')
  .option('--socket <port>', 'speak over a local socket')
  .option('--clientProcessId <id>', 'process to end with')
  .action(async () => {
    // Loaded here, so that the other commands start without it.
    const { serve } = await import('../serve.js');
    serve();
    await new Promise(() => undefined);
  });
