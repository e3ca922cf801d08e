import { commands } from './generated/commands.js';
import { runProgram } from './program.js';

// A reader that has seen enough, such as `head`, closes the pipe.
process.stdout.on('error', error => {
  if ('code' in error && error.code === 'EPIPE') process.exit();
  throw error;
});

await runProgram(commands, process.argv.slice(2));
