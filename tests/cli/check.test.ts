import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { checkCommand } from '../../server/cli/commands/check.js';
import { today } from '../../server/cli/day.js';
import type { Evaluate } from '../../server/cli/evaluate.js';
import { runProgram } from '../../server/cli/program.js';
import type { CheckReport } from '../../server/reports/check-report.js';
import { renderers } from '../../server/reports/render.js';
import { empty, sample } from '../reports/sample.js';
import { canLink, hasGit } from '../support/machine.js';

let folder: string;
let printed: string;
let complained: string;

const evaluate = vi.fn<Evaluate>();

/** Exit code of `gusset check` in the temporary folder, or with `path`. */
async function check(args: readonly string[], path = folder): Promise<number | string | undefined | null> {
  await runProgram([checkCommand(evaluate)], ['check', path, ...args]);
  return process.exitCode;
}

/** Another way to the folder. */
function linked(): string {
  symlinkSync(folder, join(folder, '.link'), 'dir');
  return join(folder, '.link');
}

const withDiagnostics = (diagnostics: Partial<CheckReport['totals']['diagnostics']>): CheckReport => ({
  ...empty,
  totals: { ...empty.totals, diagnostics: { ...empty.totals.diagnostics, ...diagnostics } },
});

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'gusset-'));
  printed = complained = '';
  process.exitCode = undefined;
  vi.spyOn(process.stdout, 'write').mockImplementation(text => {
    printed += text;
    return true;
  });
  vi.spyOn(process.stderr, 'write').mockImplementation(text => {
    complained += text;
    return true;
  });
  evaluate.mockReset().mockResolvedValue(sample);
});

afterEach(() => {
  vi.restoreAllMocks();
  process.exitCode = undefined;
  rmSync(folder, { recursive: true });
});

describe('the report', () => {
  it.each(Object.keys(renderers) as (keyof typeof renderers)[])('is printed as %s', async format => {
    await check(['--format', format, '--severity', 'warning']);
    expect(printed).toBe(renderers[format](sample, { severity: 'warning' }));
  });

  it('is as wide as asked', async () => {
    await check(['--width', '80']);
    expect(printed).toBe(renderers.text(sample, { width: 80 }));
  });

  it('goes to a file', async () => {
    const output = join(folder, 'report.json');
    await check(['--format', 'json', '--output', output]);
    expect(printed).toBe('');
    expect(readFileSync(output, 'utf8')).toBe(renderers.json(sample));
  });
});

describe('the exit code', () => {
  it.each([
    [withDiagnostics({}), 'error', 0],
    [withDiagnostics({ warning: 1 }), 'error', 0],
    [withDiagnostics({ warning: 1 }), 'warning', 1],
    [withDiagnostics({ error: 1 }), 'information', 1],
    [withDiagnostics({ hint: 1 }), 'information', 0],
    [withDiagnostics({ error: 1 }), 'error', 1],
  ])('case %#', async (report, severity, code) => {
    evaluate.mockResolvedValue(report);
    expect(await check(['--severity', severity])).toBe(code);
  });

  it.each([
    ['a folder that does not exist', [], '/nowhere/at/all', '/nowhere/at/all does not exist.\n'],
    ['an unknown option', ['--colour'], undefined, /unknown option '--colour'/],
    ['an unknown format', ['--format', 'pdf'], undefined, /Allowed choices are text, json, sarif, junit, github/],
    ['a date of no calendar', ['--as-of', '2027-02-30'], undefined, /Write a date of the calendar as 2027-04-20/],
    ['a width of no use', ['--width', '10'], undefined, /Write a whole number of 60 or more/],
    [
      'an output in no folder',
      ['--output', '/nowhere/at/all.txt'],
      undefined,
      'The report is not written: /nowhere/at/all.txt does not exist.\n',
    ],
    [
      'a root that does not hold the project',
      ['--root', resolve('out/chunks')],
      undefined,
      /lies outside the workspace root .*chunks\.\n$/,
    ],
  ])('is 2 for %s', async (_, args, path, message) => {
    expect(await check(args, path)).toBe(2);
    expect(complained).toEqual(typeof message === 'string' ? message : expect.stringMatching(message));
    expect(printed).toBe('');
  });

  it('is 2 for a defect of ours, told in one line', async () => {
    evaluate.mockRejectedValue(new Error('no cell of that name'));
    expect(await check([])).toBe(2);
    expect(complained).toBe('gusset failed: no cell of that name. This is a defect in gusset, not in your project.\n');
  });

  it('is 0 for help', async () => {
    await runProgram([checkCommand(evaluate)], ['--help']);
    expect(process.exitCode).toBe(0);
    expect(printed).toContain('check [options] [path]');
  });
});

describe('the request', () => {
  it('holds what was asked for', async () => {
    await check(['--as-of', '2027-04-20', '--values', 'Bus.t', 'Bus.mass', '--rows', '--configuration', 'Radar']);
    expect(evaluate.mock.lastCall![1]).toEqual({
      asOf: '2027-04-20',
      day: expect.any(Object),
      values: ['Bus.t', 'Bus.mass'],
      rows: true,
      configurations: ['Radar'],
    });
  });

  it.runIf(hasGit)('is judged as of the commit, or else today', async () => {
    await check([]);
    expect(evaluate.mock.lastCall![1].day).toMatchObject({ date: today(), origin: { from: 'today' } });
    const git = (...args: string[]) =>
      execFileSync('git', ['-C', folder, '-c', 'user.name=Check', '-c', 'user.email=check@example.invalid', ...args], {
        env: { ...process.env, GIT_COMMITTER_DATE: '2026-03-04T12:00:00Z' },
      });
    git('init', '-q');
    git('commit', '-q', '--allow-empty', '-m', 'First');
    await check([]);
    expect(evaluate.mock.lastCall![1].day).toMatchObject({ date: '2026-03-04', origin: { from: 'commit' } });
  });

  it('names the project folder within its repository', async () => {
    mkdirSync(join(folder, '.git'));
    mkdirSync(join(folder, 'vehicles/one'), { recursive: true });
    await check([], join(folder, 'vehicles/one'));
    expect(evaluate.mock.lastCall![0]).toMatchObject({ folder: 'vehicles/one' });
  });
});

it('has a brief text, and no other brief form', async () => {
  await check(['--brief']);
  expect(printed).not.toContain('MARGINS');
  await expect(check(['--brief', '--format', 'json'])).resolves.toBe(2);
  expect(complained).toContain('--brief is for --format text.');
});

describe('watching', () => {
  it.each<[string, () => string]>([
    ['', () => folder],
    ...(canLink ? [[' written through a link', linked] as [string, () => string]] : []),
  ])('checks again on a change, not on its own output%s, and ends when interrupted', async (_, place) => {
    const output = join(place(), 'report.txt');
    const ended = check(['--watch', '--output', output]);
    await expect.poll(() => existsSync(output)).toBe(true);
    await new Promise(resolve => setTimeout(resolve, 300));
    expect(evaluate).toHaveBeenCalledTimes(1);
    evaluate.mockResolvedValue(withDiagnostics({}));
    writeFileSync(join(folder, 'a.gus'), 'part Bus {}');
    await expect.poll(() => evaluate.mock.calls.length).toBe(2);
    await expect.poll(() => complained).toMatch(/^\nChanged: a\.gus\nMOVED SINCE THE CHECK BEFORE\n/);
    process.emit('SIGINT');
    expect(await ended).toBe(0);
  });
});
