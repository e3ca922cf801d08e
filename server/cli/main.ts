import { commands } from './generated/commands.js';
import { problemOf } from './node-files.js';
import { exitCodes } from './outcome.js';
import { runProgram } from './program.js';

// A full disk, or a reader that has seen enough and closed the pipe.
process.stdout.on('error', error => {
  process.stderr.write(`The output is cut off: ${problemOf('standard output', error).message}\n`);
  process.exit(exitCodes.unusable);
});
// Where complaints can't be written either, the exit code has to do.
process.stderr.on('error', () => process.exit(exitCodes.unusable));

await runProgram(commands, process.argv.slice(2));
