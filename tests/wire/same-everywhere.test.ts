/** Editor and terminal say the same of every project, after whatever happens to any file that it rests on. */
import {
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { expect, test } from 'vitest';
import { today } from '../../server/cli/day.js';
import { evaluate } from '../../server/cli/evaluate.js';
import { UnusableInput } from '../../server/cli/outcome.js';
import { openWorkspace } from '../../server/cli/workspace.js';
import { overviewMessage, type ProjectOverview } from '../../server/protocol/overview.js';
import { isSource } from '../../server/project/paths.js';
import { TestServer } from '../support/server.js';

/** A library in a library, a library that is passed over, a nested project, cited data and certificates. */
const NESTED: Readonly<Record<string, string>> = {
  'craft/project.gus': `use "../House" as House
use "../node_modules/bolts"
project Craft { revision = "A"   date = 2027-06-01 }
table Loads = file("data/loads.csv") { force as N "F [N]" }
let worst = max(for r in Loads: r.force)
part Left is House.Strap { width = 10 mm   t = head   pull = worst }
material Own { density = 2 g/cm^3 }
lot L-1 of Own { certificate = file("../Certs/l-1.PDF")   received = 2027-01-01 }
part Plate { material = Own from L-1   mass = 1 kg }
requirement CRF-1 "The plate shall be light." for Plate { check Plate.mass <= 2 kg   verify by inspection on SN-1 }
article SN-1 of Plate from L-1 { built = 2027-02-01 }
evidence EV-1 for CRF-1 on SN-1 { method = inspection   report = file("../certs/EV-1.txt")   date = 2027-03-01   result = pass }
`,
  'craft/more/extra.gus': 'requirement CRF-2 "It shall hold." { check worst <= 5 kN   verify by analysis }\n',
  'craft/inner/inner.gus':
    'use ".." as Craft\nproject Inner { revision = "1"   date = 2027-06-01 }\nrequirement INN-1 "It shall hold." { check worst <= 4 kN   verify by analysis }\n',
  'craft/data/loads.csv': 'case,F [N]\na,900\nb,1200\n',
  'house/house.gus': `use "common/units.gus"
project House { revision = "2"   date = 2027-06-01 }
material Bar { yield = 200 MPa basis A source "sheet" }
kind Strap {
  given width: length, t: length, pull: force
  material = Bar
  requirement STR-Y "The {name} shall not yield." { check yield: pull / (width * t) <= material.yield / margin_factor   verify by analysis }
}
`,
  'house/common/units.gus': 'project Common { revision = "1" }\nlet margin_factor = 1.5\n',
  'node_modules/bolts/bolts.gus': 'let head = 2 mm\n',
  'certs/L-1.pdf': 'certificate',
  'certs/EV-1.txt': 'report',
};

type Files = Readonly<Record<string, string>>;
type Statuses = Readonly<Record<string, string>>;

const MODELS = 'tests/fixtures/models';
const FINDINGS = 'tests/fixtures/findings-m';

/** The nested projects, every example, and every fixture that cites files. */
const FOLDERS: Readonly<Record<string, Files>> = {
  'nested projects and libraries': NESTED,
  'the example that uses a library': filesOf('examples', ['house', 'boom']),
  ...Object.fromEntries(['bracket', 'cordgrass'].map(name => [`the example ${name}`, filesOf('examples', [name])])),
  ...Object.fromEntries(foldersIn(MODELS).map(name => [`the model ${name}`, filesOf(MODELS, [name])])),
  ...Object.fromEntries(
    [...foldersIn(FINDINGS).map(name => filesOf(FINDINGS, [name])), ...singleFixtures()]
      .filter(files => Object.values(files).some(text => /\bfile\(|^use /m.test(text)))
      .map(files => [`the fixture ${Object.keys(files)[0]}`, files]),
  ),
};

/**
 * Of the larger folders, one thing happens to each source and to one file of each folder of cited ones, unless all is
 * asked for.
 */
const LARGE = 6;

function representatives(files: Files): readonly string[] {
  const kinds = Object.keys(files).map(path => [isSource(path) ? path : dirname(path), path] as const);
  return [...new Map(kinds).values()];
}

test.concurrent.each(Object.entries(FOLDERS))('%s', { timeout: 1_200_000 }, async (_, files) => {
  const folder = mkdtempSync(join(tmpdir(), 'gusset-same-'));
  for (const [path, text] of Object.entries(files)) write(path, text);
  // The client tells of changes, so that nothing is looked at besides, between two answers.
  const server = await TestServer.startIn(folder, files, {
    capabilities: { workspace: { didChangeWatchedFiles: { dynamicRegistration: true } } },
  });

  function write(path: string, text: string): void {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), text);
  }

  async function terminal(project: string): Promise<Statuses | null> {
    try {
      const workspace = await openWorkspace(join(folder, project), folder);
      const { requirements } = await evaluate(workspace, {
        asOf: undefined,
        day: { date: today(), origin: { from: 'today', text: 'today' }, isDoubtful: false },
        configurations: undefined,
        values: [],
        rows: false,
      });
      return Object.fromEntries(requirements.map(({ label, status }) => [label, status]));
    } catch (error) {
      if (error instanceof UnusableInput) return null;
      throw error;
    }
  }

  async function editor(): Promise<ReadonlyMap<string, Statuses>> {
    await server.settled();
    const overviews = await server.ask<readonly ProjectOverview[]>(overviewMessage.method, {});
    return new Map(
      overviews.map(({ uri, requirements }) => [
        uri,
        Object.fromEntries(requirements.map(({ label, status }) => [label, status])),
      ]),
    );
  }

  /** Projects of the editor by their folder: where a block of the project stands, else the top. */
  function folderOf(uri: string): string {
    let path = dirname(uri.slice(server.uri('').length + 1));
    while (path !== '.' && !declaresProject(path)) path = dirname(path);
    return path;
  }

  function declaresProject(path: string): boolean {
    return readdirSync(join(folder, path)).some(
      name => isSource(name) && /^project /m.test(readFileSync(join(folder, path, name), 'utf8')),
    );
  }

  async function expectSame(after: string): Promise<ReadonlyMap<string, Statuses>> {
    const seen = await editor();
    for (const [uri, statuses] of seen)
      expect(statuses, `${uri} after ${after}`).toEqual(await terminal(folderOf(uri)));
    return seen;
  }

  const tell = (...paths: readonly (readonly [string, 1 | 2 | 3])[]): Promise<void> =>
    server.tell('workspace/didChangeWatchedFiles', {
      changes: paths.map(([path, type]) => ({ uri: server.uri(path), type })),
    });

  async function changed(path: string): Promise<void> {
    const text = files[path]!;
    for (const [what, change] of [
      ['digits', text.replaceAll(/(?<=[=,<]\s?)(\d+)/g, digits => String(Number(digits) * 3))],
      ['a broken end', `${text}\nlet broken = (`],
      ['nothing in it', ''],
    ] as const) {
      write(path, change);
      await tell([path, 2]);
      await expectSame(`${path} with ${what}`);
    }
    write(path, text);
    await tell([path, 2]);
  }

  async function renamed(path: string, aside: string): Promise<void> {
    renameSync(join(folder, path), join(folder, aside));
    await tell([path, 3], [aside, 1]);
    await expectSame(`${path} renamed`);
    renameSync(join(folder, aside), join(folder, path));
    await tell([aside, 3], [path, 1]);
    expect(await expectSame(`${path} named back`)).toEqual(first);
  }

  async function deleted(path: string): Promise<void> {
    rmSync(join(folder, path));
    await tell([path, 3]);
    await expectSame(`${path} deleted`);
    write(path, files[path]!);
    await tell([path, 1]);
    expect(await expectSame(`${path} written again`)).toEqual(first);
  }

  const first = await expectSame('nothing');
  const isThorough = 'GUSSET_EVERY_CHANGE' in process.env || Object.keys(files).length < LARGE;
  const all: readonly ((path: string) => Promise<void>)[] = [changed, path => renamed(path, `${path}.aside`), deleted];
  for (const [i, path] of (isThorough ? Object.keys(files) : representatives(files)).entries())
    for (const happen of isThorough ? all : [all[i % all.length]!]) await happen(path);
  const around = [...new Set(Object.keys(files).map(dirname))].filter(path => path !== '.');
  for (const path of isThorough ? around : around.slice(-1)) await renamed(path, path.replace(/[^/]*$/, 'aside'));
  expect(server.logged).toEqual([]);
  await server.close();
});

function foldersIn(root: string): readonly string[] {
  return readdirSync(root, { withFileTypes: true }).flatMap(each => (each.isDirectory() ? [each.name] : []));
}

/** Fixtures of one source, each with the files beside it that they cite. */
function singleFixtures(): readonly Files[] {
  const names = readdirSync(FINDINGS).filter(name => statSync(join(FINDINGS, name)).isFile());
  const read = (name: string): readonly [string, string] => [name, readFileSync(join(FINDINGS, name), 'utf8')];
  const cited = names.filter(name => !isSource(name)).map(read);
  return names.filter(isSource).map(name => Object.fromEntries([read(name), ...cited]));
}

function filesOf(root: string, folders: readonly string[]): Record<string, string> {
  const paths = folders.flatMap(folder =>
    readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' }).map(path => `${folder}/${path}`),
  );
  return Object.fromEntries(
    paths
      .filter(path => statSync(join(root, path)).isFile())
      .map(path => [path.replaceAll('\\', '/'), readFileSync(join(root, path), 'utf8')]),
  );
}
