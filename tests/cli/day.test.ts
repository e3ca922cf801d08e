/** The day that dates are judged as of, and where it comes from: the same in the terminal and in an editor. */
import { execFileSync } from 'node:child_process';
import { chmodSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { today } from '../../server/cli/day.js';
import type { Sheet } from '../../server/protocol/sheet.js';
import type { CheckReport } from '../../server/reports/check-report.js';
import { gusset } from '../support/command-line.js';
import { hasGit, onWindows } from '../support/machine.js';
import { TestServer } from '../support/server.js';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'gusset-day-'));
  writeFileSync(join(folder, 'beam.gus'), 'project Beam "Beam" { }\npart Beam "Beam" { }\n');
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

/** The next commit of the repository of a folder; its name. */
function commit(day: string, repository = folder): string {
  const git = (...args: readonly string[]): string =>
    execFileSync(
      'git',
      ['-C', repository, '-c', 'user.name=Check', '-c', 'user.email=check@example.invalid', ...args],
      {
        encoding: 'utf8',
        env: { ...process.env, GIT_COMMITTER_DATE: `${day}T12:00:00Z` },
      },
    );
  git('init', '-q');
  git('commit', '-q', '--allow-empty', '-m', 'First');
  return git('rev-parse', 'HEAD').trim();
}

function origin(...args: readonly string[]) {
  const { printed, complaint } = gusset(['check', folder, '--format', 'json', ...args]);
  const { asOf, asOfOrigin } = JSON.parse(printed) as CheckReport;
  return { asOf, ...asOfOrigin, complaint };
}

/** The day and its origin, as the sheet has them. */
async function dayIn(server: TestServer, path = 'beam.gus'): Promise<readonly string[]> {
  await server.settled();
  const { asOf, asOfOrigin } = await server.request<Sheet>('gusset/sheet', path, { known: null });
  return [asOf, asOfOrigin];
}

async function inEditor(): Promise<readonly string[]> {
  const server = await TestServer.startIn(folder);
  try {
    return await dayIn(server);
  } finally {
    await server.close();
  }
}

test.runIf(hasGit)('is that of the commit', async () => {
  const text = `day of the commit ${commit('2026-03-04').slice(0, 12)}`;
  expect(origin()).toEqual({ asOf: '2026-03-04', from: 'commit', text, complaint: '' });
  expect(gusset(['check', folder]).printed).toContain(`\nAs of           2026-03-04 (${text})\n`);
  expect(await inEditor()).toEqual(['2026-03-04', text]);
});

test.runIf(hasGit)('is rather that which the project states', async () => {
  commit('2026-03-04');
  writeFileSync(join(folder, 'beam.gus'), 'project Beam "Beam" { date = 2027-04-05 }\n');
  expect(origin()).toEqual({ asOf: '2027-04-05', from: 'project', text: 'date of the project', complaint: '' });
  expect(await inEditor()).toEqual(['2027-04-05', 'date of the project']);
});

test('is rather that which was asked for', () => {
  writeFileSync(join(folder, 'beam.gus'), 'project Beam "Beam" { date = 2027-04-05 }\n');
  expect(origin('--as-of', '2028-01-02')).toEqual({
    asOf: '2028-01-02',
    from: 'option',
    text: '--as-of',
    complaint: '',
  });
});

test.runIf(hasGit)('is that of each project, also after the next commit', async () => {
  const inner = join(folder, 'inner');
  mkdirSync(inner);
  writeFileSync(join(inner, 'inner.gus'), 'project Inner "Inner" { }\npart Inner "Inner" { }\n');
  const names = [commit('2026-03-04'), commit('2026-05-06', inner)].map(name => name.slice(0, 12));
  const server = await TestServer.startIn(folder);
  try {
    expect(await dayIn(server)).toEqual(['2026-03-04', `day of the commit ${names[0]}`]);
    expect(await dayIn(server, 'inner/inner.gus')).toEqual(['2026-05-06', `day of the commit ${names[1]}`]);
    const next = commit('2026-07-08').slice(0, 12);
    await server.tell('workspace/didChangeWatchedFiles', { changes: [{ uri: server.uri('beam.gus'), type: 2 }] });
    expect(await dayIn(server)).toEqual(['2026-07-08', `day of the commit ${next}`]);
  } finally {
    await server.close();
  }
});

test('is today without a repository', async () => {
  expect(origin()).toEqual({ asOf: today(), from: 'today', text: 'today: not a git repository', complaint: '' });
  expect(await inEditor()).toEqual([today(), 'today: not a git repository']);
});

test('is today before the first commit', () => {
  mkdirSync(join(folder, '.git'));
  writeFileSync(join(folder, '.git/HEAD'), 'ref: refs/heads/main\n');
  expect(origin()).toMatchObject({ text: 'today: the repository has no commit yet', complaint: '' });
});

test('is today where the repository is damaged, which is told', () => {
  mkdirSync(join(folder, '.git'));
  const text = 'today: the revision of the repository is not readable';
  const complaint = `Judged as of ${today()}, ${text}. Say the day with --as-of.\n`;
  expect(origin()).toEqual({ asOf: today(), from: 'today', text, complaint });
  expect(origin('--as-of', '2028-01-02').complaint).toBe('');
});

test.skipIf(onWindows)("is today where the repository is another owner's, which is told", () => {
  mkdirSync(join(folder, '.git'));
  writeFileSync(join(folder, '.git/HEAD'), 'ref: refs/heads/main\n');
  chmodSync(folder, 0o755);
  chmodSync(join(folder, '.git'), 0);
  const nobody = process.getuid!() === 0 ? { uid: 65534 } : {};
  try {
    const text = 'today: the repository belongs to another owner and is closed to you';
    const { printed, complaint } = gusset(['check', folder, '--format', 'json'], nobody);
    expect(complaint).toBe(`Judged as of ${today()}, ${text}. Say the day with --as-of.\n`);
    expect((JSON.parse(printed) as CheckReport).asOfOrigin).toEqual({ from: 'today', text });
  } finally {
    chmodSync(join(folder, '.git'), 0o755);
  }
});

test('is told by the clock where the machine stands', () => {
  const late = new Date(2027, 0, 5, 23, 59);
  expect(today(late)).toBe('2027-01-05');
});
