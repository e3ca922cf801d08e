import { Command } from 'commander';
import type { Transport } from '../serve.js';

export default new Command('serve')
  .description('language server for editors')
  .option('--stdio', 'speak over standard input and output')
  .option('--node-ipc', 'speak over the channel of a parent process')
  .option('--socket <port>', 'speak over a local socket')
  .option('--pipe <name>', 'speak over a pipe')
  .option('--clientProcessId <id>', 'process to end with')
  .action(async (transport: Transport) => {
    // Loaded here, so that the other commands start without it.
    const { serve } = await import('../serve.js');
    serve(transport);
    await new Promise(() => undefined);
  });
