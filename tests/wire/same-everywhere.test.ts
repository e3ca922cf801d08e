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
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { evaluate } from '../../server/cli/evaluate.js';
import { UnusableInput } from '../../server/cli/outcome.js';
import { openWorkspace } from '../../server/cli/workspace.js';
import { overviewMessage, type ProjectOverview } from '../../server/protocol/overview.js';
import { TestServer } from '../support/server.js';

const TODAY = '2027-06-01';

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

type Statuses = Readonly<Record<string, string>>;

describe.each([
  [
    'nested projects and libraries',
    NESTED,
    { Craft: 'craft', Inner: 'craft/inner', House: 'house', Common: 'house/common' },
  ],
  ['the example that uses a library', filesOf('examples', ['house', 'boom']), { Magnetometer: 'boom', House: 'house' }],
  ['the example of a bracket', filesOf('examples', ['bracket']), { CameraBracket: 'bracket' }],
])('%s', (_, files, projects) => {
  let server: TestServer;
  let folder: string;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'gusset-same-'));
    for (const [path, text] of Object.entries(files)) write(path, text);
    server = await TestServer.startIn(folder, files);
    await server.settled();
  });
  afterAll(async () => {
    expect(server.logged).toEqual([]);
    await server.close();
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
        day: { date: TODAY, origin: { from: 'today', text: 'today' }, isDoubtful: false },
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

  async function editor(): Promise<Record<string, Statuses>> {
    await server.settled();
    const overviews = await server.ask<readonly ProjectOverview[]>(overviewMessage.method, {});
    return Object.fromEntries(
      overviews.map(({ name, requirements }) => [
        name,
        Object.fromEntries(requirements.map(({ label, status }) => [label, status])),
      ]),
    );
  }

  async function expectSame(after: string, at = (path: string): string => path): Promise<void> {
    const seen = await editor();
    for (const [name, project] of Object.entries<string>(projects)) {
      // A project whose block is gone is part of another, which the terminal is not asked for.
      if (seen[name] === undefined) continue;
      expect(seen[name], `${name} after ${after}`).toEqual(await terminal(at(project)));
    }
  }

  const tell = (...paths: readonly (readonly [string, 1 | 2 | 3])[]): Promise<void> =>
    server.tell('workspace/didChangeWatchedFiles', {
      changes: paths.map(([path, type]) => ({ uri: server.uri(path), type })),
    });

  test('as it is', async () => {
    const seen = await editor();
    expect(Object.keys(seen).sort()).toEqual(Object.keys(projects).sort());
    await expectSame('nothing');
    expect(Object.values(seen).flatMap(statuses => Object.values(statuses))).toContain('verified');
  });

  test.each(Object.keys(files))('%s: changed, renamed, deleted, and back', async path => {
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
    const aside = `${path}.aside`;
    renameSync(join(folder, path), join(folder, aside));
    await tell([path, 3], [aside, 1]);
    await expectSame(`${path} renamed`);
    renameSync(join(folder, aside), join(folder, path));
    await tell([aside, 3], [path, 1]);
    await expectSame(`${path} named back`);
    rmSync(join(folder, path));
    await tell([path, 3]);
    await expectSame(`${path} deleted`);
    write(path, text);
    await tell([path, 1]);
    await expectSame(`${path} written again`);
  });

  const folders = [...new Set(Object.keys(files).map(dirname))];
  test.each(folders)('the folder %s: renamed, and back', async path => {
    const aside = path.replace(/[^/]*$/, 'aside');
    renameSync(join(folder, path), join(folder, aside));
    await tell([path, 3], [aside, 1]);
    await expectSame(`${path} renamed`, project =>
      project === path || project.startsWith(`${path}/`) ? aside + project.slice(path.length) : project,
    );
    renameSync(join(folder, aside), join(folder, path));
    await tell([aside, 3], [path, 1]);
    await expectSame(`${path} named back`);
  });
});

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
