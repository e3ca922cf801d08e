import type { CommanderError } from 'commander';
import { Command } from 'commander';
import { visible } from '../base/index.js';
import { version } from '../../package.json';
import { exitCodes, UnusableInput } from './outcome.js';
import { complain, print } from './terminal.js';

/** Runs the command line `args` and sets the exit code of the process. No stack is ever printed. */
export async function runProgram(commands: readonly Command[], args: readonly string[]): Promise<void> {
  const program = new Command('gusset')
    .description('Requirements beside the design math: margins, statuses, mass and findings of a spacecraft structure.')
    .version(version)
    .exitOverride()
    .configureOutput({ writeOut: print, writeErr: complain })
    .showHelpAfterError('(gusset help COMMAND tells the options)');
  for (const command of commands) program.addCommand(command.copyInheritedSettings(program));
  try {
    await program.parseAsync(args, { from: 'user' });
  } catch (error) {
    process.exitCode = report(error);
  }
}

function report(error: unknown): number {
  // The usage has been told already.
  if (isUsage(error)) return error.exitCode === 0 ? exitCodes.clean : exitCodes.unusable;
  const message = visible(error instanceof Error ? error.message : String(error));
  complain(
    error instanceof UnusableInput
      ? `${message}\n`
      : `gusset failed: ${message}. This is a defect in gusset, not in your project.\n`,
  );
  return exitCodes.unusable;
}

function isUsage(error: unknown): error is CommanderError {
  return error instanceof Error && 'code' in error && String(error.code).startsWith('commander.');
}
