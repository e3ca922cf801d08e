/** The command line as a process. */
import { spawnSync } from 'node:child_process';
import { resolve } from 'node:path';

export interface Run {
  readonly code: number | null;
  readonly printed: string;
  readonly complaint: string;
}

export interface Circumstances {
  readonly cwd?: string;
  readonly env?: NodeJS.ProcessEnv;
  /** A file that standard output goes to. */
  readonly stdout?: number;
  /** Another user. */
  readonly uid?: number;
}

const commandLine = resolve('out/cli.mjs');

export function gusset(args: readonly string[], { cwd, env, stdout, uid }: Circumstances = {}): Run {
  const run = spawnSync(process.execPath, [commandLine, ...args], {
    cwd,
    uid,
    env: { ...process.env, ...env },
    encoding: 'utf8',
    stdio: ['ignore', stdout ?? 'pipe', 'pipe'],
    maxBuffer: 2 ** 28,
  });
  return { code: run.status, printed: run.stdout, complaint: run.stderr };
}
