/** Revisions are read from a stranger's repository without running anything that it names. */
import { execFileSync, spawnSync } from 'node:child_process';
import { chmodSync, cpSync, existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, test } from 'vitest';
import { revisionOf } from '../../server/cli/repository.js';
import { hasGit, hasPipeFiles, onWindows } from '../support/machine.js';

let outer: string;
let folder: string;
beforeEach(() => {
  outer = mkdtempSync(join(tmpdir(), 'gusset-repository-'));
  folder = join(outer, 'project');
  write('good.gus', 'project Good "Good" { }\n');
});
afterEach(() => rmSync(outer, { recursive: true }));

function write(path: string, text: string, mode = 0o644): string {
  const full = join(folder, path);
  mkdirSync(dirname(full), { recursive: true });
  writeFileSync(full, text, { mode });
  return full;
}

/** Without the settings of this machine, at noon somewhere. */
function git(args: readonly string[], { date = '2026-03-04T12:00:00Z', input = '', cwd = folder } = {}): string {
  const { PATH, SystemRoot } = process.env;
  const environment = {
    PATH,
    ...(onWindows ? { SystemRoot } : {}),
    HOME: outer,
    GIT_CONFIG_NOSYSTEM: '1',
    GIT_COMMITTER_DATE: date,
  };
  const identity = ['-c', 'user.name=Check', '-c', 'user.email=check@example.invalid'];
  return execFileSync('git', [...identity, ...args], { cwd, input, env: environment, stdio: 'pipe' })
    .toString()
    .trim();
}

/** The day of the revision, or why there is none. */
async function revisionDate(path: string): Promise<string> {
  const revision = await revisionOf(path);
  return typeof revision === 'string' ? revision : revision.date;
}

function commit(date: string, message = 'Change'): void {
  git(['commit', '-q', '--allow-empty', '-m', message], { date });
}

const pipeForCommit: [string, () => void] = [
  'a pipe in the place of a commit',
  () => {
    const object = join(folder, '.git/objects/11', '1'.repeat(38));
    mkdirSync(dirname(object));
    execFileSync('mkfifo', [object]);
    write('.git/refs/heads/main', `${'1'.repeat(40)}\n`);
  },
];

describe.runIf(hasGit)('the date of the revision', () => {
  beforeEach(() => void git(['init', '-q', '-b', 'main']));

  it('is unknown before the first', async () => {
    expect(await revisionDate(folder)).toBe('no commit');
  });

  it.each([
    ['2026-03-04T23:30:00Z', '2026-03-04'],
    ['2026-03-04T23:30:00-08:00', '2026-03-04'],
    ['2026-03-05T00:30:00+13:00', '2026-03-05'],
  ])('%s is the day where it was committed', async (date, day) => {
    commit(date);
    expect(await revisionDate(folder)).toBe(day);
    expect(git(['log', '-1', '--format=%cs'])).toBe(day);
  });

  it('is found below the root, on no branch, in a worktree, and in packs', async () => {
    commit('2026-03-04T12:00:00Z');
    mkdirSync(join(folder, 'vehicles/one'), { recursive: true });
    expect(await revisionDate(join(folder, 'vehicles/one'))).toBe('2026-03-04');
    git(['worktree', 'add', '-q', '../second']);
    commit('2026-04-05T12:00:00Z');
    git(['pack-refs', '--all']);
    expect(await revisionDate(folder)).toBe('2026-04-05');
    expect(await revisionDate(join(outer, 'second'))).toBe('2026-03-04');
    git(['repack', '-adq']);
    git(['prune-packed', '-q']);
    expect(await revisionDate(folder)).toBe('2026-04-05');
    expect(await revisionDate(join(outer, 'second'))).toBe('2026-03-04');
    git(['checkout', '-q', '--detach', 'HEAD~1']);
    expect(await revisionDate(folder)).toBe('2026-03-04');
  });

  it('is found where commits are stored as differences', async () => {
    const text = Array.from({ length: 200 }, (_, i) => `Line ${i * 7919} of a long description.`).join('\n');
    for (let month = 1; month <= 9; month++) commit(`2026-0${month}-03T12:00:00Z`, `${text}\n${month}`);
    git(['repack', '-adfq', '--depth=20', '--window=20']);
    const names = git(['rev-list', 'HEAD']).split('\n');
    const [pack] = git(['rev-parse', '--git-path', 'objects/pack']).split('\n');
    const listing = git([
      'verify-pack',
      '-v',
      ...readdirSync(join(folder, pack!))
        .filter(name => name.endsWith('.idx'))
        .map(name => join(folder, pack!, name)),
    ]);
    expect(listing).toMatch(/chain length = \d/);
    const days = [];
    for (const name of names) {
      git(['update-ref', '--no-deref', 'HEAD', name]);
      days.push(await revisionDate(folder));
    }
    expect(days).toEqual([9, 8, 7, 6, 5, 4, 3, 2, 1].map(month => `2026-0${month}-03`));
  });

  it('is found in the objects of another repository', async () => {
    commit('2026-03-04T12:00:00Z');
    git(['clone', '-q', '--shared', folder, join(outer, 'clone')]);
    expect(await revisionDate(join(outer, 'clone'))).toBe('2026-03-04');
  });

  it.each<[string, () => void]>([
    ['a branch that leads in a circle', () => write('.git/refs/heads/main', 'ref: refs/heads/main\n')],
    ['a branch that leads out', () => write('.git/HEAD', 'ref: refs/../../secret\n')],
    ['a commit that is missing', () => write('.git/refs/heads/main', `${'1'.repeat(40)}\n`)],
    ['a kind of repository that is not known', () => write('.git/HEAD', 'ref: refs/heads/.invalid\n')],
    [
      'a file that names no repository',
      () => {
        rmSync(join(folder, '.git'), { recursive: true });
        write('.git', 'nothing\n');
      },
    ],
    [
      'an object that is none',
      () => {
        commit('2026-03-04T12:00:00Z');
        const name = git(['rev-parse', 'HEAD']);
        const object = join(folder, '.git/objects', name.slice(0, 2), name.slice(2));
        chmodSync(object, 0o644);
        writeFileSync(object, 'nothing');
      },
    ],
    ...(hasPipeFiles ? [pipeForCommit] : []),
  ])('cannot be read: %s', async (_, damage) => {
    damage();
    expect(await revisionDate(folder)).toBe('unreadable');
  });
});

interface Trap {
  /** Configuration of the repository; `PROGRAM` leaves the mark. */
  readonly config: string;
  /** Further files of the folder. */
  readonly files?: Readonly<Record<string, string>>;
  /** A command of git that walks into it, to show that the trap is one. */
  readonly springs?: readonly string[];
  /** Further preparation, once there is a commit. */
  readonly prepare?: () => void;
}

/** A commit that says it is signed. */
function sign(): void {
  const [header, ...message] = git(['cat-file', 'commit', 'HEAD']).split('\n\n');
  const signature = 'gpgsig -----BEGIN PGP SIGNATURE-----\n \n aGVsbG8=\n -----END PGP SIGNATURE-----';
  const signed = git(['hash-object', '-t', 'commit', '-w', '--stdin'], {
    input: `${header}\n${signature}\n\n${message.join('\n\n')}\n`,
  });
  git(['update-ref', 'HEAD', signed]);
}

/** The commit itself is to be fetched. */
function promise(): void {
  const name = git(['rev-parse', 'HEAD']);
  rmSync(join(folder, '.git/objects', name.slice(0, 2), name.slice(2)));
}

const partialClone = (remote: string): string =>
  `[extensions]\n\tpartialClone = origin\n[remote "origin"]\n\tpromisor = true\n\tpartialclonefilter = blob:none\n${remote}`;

const TRAPS: Readonly<Record<string, Trap>> = {
  'an upload-pack of a partial clone': {
    config: partialClone('\turl = ./elsewhere\n\tuploadpack = PROGRAM\n'),
    prepare: promise,
    springs: ['log', '-1'],
  },
  'an external transport of a partial clone': {
    config: partialClone('\turl = ext::PROGRAM\n') + '[protocol]\n\tallow = always\n',
    prepare: promise,
    springs: ['log', '-1'],
  },
  'an ssh command of a partial clone': {
    config: partialClone('\turl = ssh://example.invalid/x\n') + '[core]\n\tsshCommand = PROGRAM\n',
    prepare: promise,
    springs: ['log', '-1'],
  },
  'a proxy of a partial clone': {
    config: partialClone('\turl = git://example.invalid/x\n') + '[core]\n\tgitProxy = PROGRAM\n',
    prepare: promise,
    springs: ['log', '-1'],
  },
  'a file system monitor': { config: '[core]\n\tfsmonitor = PROGRAM\n', springs: ['status'] },
  'a signature check': {
    config: '[log]\n\tshowSignature = true\n[gpg]\n\tprogram = PROGRAM\n',
    prepare: sign,
    springs: ['log', '-1'],
  },
  'a filter': {
    config: '[filter "x"]\n\tclean = PROGRAM\n\tsmudge = PROGRAM\n\tprocess = PROGRAM\n',
    files: { '.gitattributes': '* filter=x\n' },
    springs: ['add', '.'],
  },
  'a text converter': {
    config: '[diff "x"]\n\ttextconv = PROGRAM\n',
    files: { '.gitattributes': '* diff=x\n' },
    prepare: () => git(['add', '.']),
    springs: ['diff', '--cached'],
  },
  'an external comparison': {
    config: '[diff]\n\texternal = PROGRAM\n',
    prepare: () => git(['add', '.']),
    springs: ['diff', '--cached'],
  },
  hooks: {
    config: '[core]\n\thooksPath = hooks\n',
    files: Object.fromEntries(
      ['post-checkout', 'post-index-change', 'reference-transaction'].map(name => [
        `hooks/${name}`,
        '#!/bin/sh\nPROGRAM\n',
      ]),
    ),
    springs: ['checkout', '-q', '-b', 'other'],
  },
  'an alias': { config: '[alias]\n\tl = !PROGRAM\n\tlog = !PROGRAM\n', springs: ['l'] },
  'a pager': { config: '[core]\n\tpager = PROGRAM\n[pager]\n\tlog = PROGRAM\n' },
  'an editor': {
    config: '[core]\n\teditor = PROGRAM\n[sequence]\n\teditor = PROGRAM\n',
    springs: ['-c', 'user.name=x', '-c', 'user.email=x@example.invalid', 'commit', '--allow-empty'],
  },
  'a credential helper': {
    config: '[credential]\n\thelper = !PROGRAM\n[core]\n\taskPass = PROGRAM\n',
    springs: ['credential', 'fill'],
  },
  'alternate references': { config: '[core]\n\talternateRefsCommand = PROGRAM\n' },
  'an included file': {
    config: '[include]\n\tpath = ../settings\n',
    files: { settings: '[core]\n\tfsmonitor = PROGRAM\n' },
    springs: ['status'],
  },
};

describe.each(['a repository', 'a folder shaped like a bare one'])('%s', shape => {
  test.runIf(hasGit && !onWindows).each(Object.entries(TRAPS))(
    'runs nothing with %s',
    async (_, { config, files = {}, springs, prepare }) => {
      const mark = join(outer, 'mark');
      const program = join(outer, 'program');
      writeFileSync(program, `#!/bin/sh\ntouch ${mark}\nexit 1\n`, { mode: 0o755 });
      git(['init', '-q', '-b', 'main']);
      commit('2026-03-04T12:00:00Z');
      for (const [path, text] of Object.entries(files)) write(path, text.replaceAll('PROGRAM', program), 0o755);
      prepare?.();
      writeFileSync(
        join(folder, '.git/config'),
        `[core]\n\trepositoryformatversion = 1\n${config.replaceAll('PROGRAM', program)}`,
      );
      if (springs && shape === 'a repository') {
        const copy = join(outer, 'copy');
        cpSync(folder, copy, { recursive: true });
        spawnSync('git', springs as string[], {
          cwd: copy,
          input: 'protocol=https\nhost=example.invalid\n\n',
          env: { PATH: process.env.PATH, HOME: outer },
        });
        expect(existsSync(mark), 'the trap is one').toBe(true);
        rmSync(mark);
      }
      if (shape !== 'a repository') {
        cpSync(join(folder, '.git'), folder, { recursive: true });
        rmSync(join(folder, '.git'), { recursive: true });
      }
      await revisionDate(folder);
      const { status, stderr } = spawnSync(process.execPath, ['out/cli.mjs', 'check', folder], { encoding: 'utf8' });
      expect(status, stderr).toBe(0);
      expect(existsSync(mark)).toBe(false);
    },
  );
});

test.runIf(hasGit && !onWindows)('no program of the name git is started', () => {
  git(['init', '-q']);
  commit('2026-03-04T12:00:00Z');
  writeFileSync(join(outer, 'git'), `#!/bin/sh\ntouch ${join(outer, 'mark')}\n`, { mode: 0o755 });
  const { stdout } = spawnSync(process.execPath, ['out/cli.mjs', 'check', folder], {
    encoding: 'utf8',
    env: { PATH: outer },
  });
  expect(stdout).toContain('2026-03-04');
  expect(existsSync(join(outer, 'mark'))).toBe(false);
});
