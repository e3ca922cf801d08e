/** The margin sheet, trials, overviews and plots over the protocol. */
import { describe, expect, test } from 'vitest';
import {
  countsMessage,
  overviewMessage,
  type ProjectCounts,
  type ProjectOverview,
  type RequirementOverview,
} from '../../server/protocol/overview.js';
import type { Plot, PlotSubject, Sheet, SheetRow, Triable, TrialState } from '../../server/protocol/sheet.js';
import { TestServer } from '../support/server.js';
import { useServer } from '../support/suite-server.js';

let server: TestServer;

useServer(
  () => TestServer.startExample('cordgrass'),
  ['battery.gus', 'thermal.gus'],
  started => {
    server = started;
  },
);

const sheet = (known: number | null = null): Promise<Sheet> => server.request('gusset/sheet', 'battery.gus', { known });
const trial = (values: readonly { name: string; text: string }[]): Promise<TrialState> =>
  server.request('gusset/trial', 'battery.gus', { values });
const plot = (subject: PlotSubject): Promise<Plot | null> =>
  server.request('gusset/plot', 'battery.gus', { subject, colors: 'light' });

describe('the sheet', () => {
  test('holds every check once, where it is worst', async () => {
    const { rows, order, name, configurations, mass } = await sheet();
    expect(name).toBe('Cordgrass');
    expect(configurations).toEqual(['Radar', 'Optics']);
    expect(order).toBeNull();
    expect(new Set(rows.map(row => row.id)).size).toBe(rows.length);
    const failing = rows.filter(row => row.passes === false);
    expect(failing.map(row => row.requirement).sort()).toEqual(['PRP-002', 'THM-001']);
    const [worst] = rows.filter(row => row.requirement === 'THM-001');
    expect(worst).toMatchObject({ status: 'failing', kind: 'strength', tried: null });
    expect(worst!.marginText).toMatch(/^-0\.\d\d$/);
    expect(worst!.location.uri).toMatch(/thermal\.gus$/);
    expect(mass.limit).toBe(46);
    expect(mass.predicted).toBeGreaterThan(40);
  });

  test('tells rows by their ids before the others, as it tells them itself', async () => {
    const before = await sheet();
    const shown = before.rows.filter(row => row.location.uri.endsWith('thermal.gus'));
    const ids = shown.map(row => row.id);
    await server.edit('thermal.gus', 't = 3.7 mm', 't = 4.1 mm');
    const early = await server.request<readonly SheetRow[]>('gusset/sheetRows', 'thermal.gus', {
      ids: [...ids, 'nothing#1', 'cordgrass#1', ids[0]!.replace(/#\d+$/, '#99')],
    });
    const after = new Map((await sheet()).rows.map(row => [row.id, row]));
    expect(early).toEqual(ids.map(id => after.get(id)));
    expect(early).not.toEqual(shown);
    await server.edit('thermal.gus', 't = 4.1 mm', 't = 3.7 mm');
    expect(await server.request('gusset/sheetRows', 'thermal.gus', { ids })).toEqual(shown);
  });

  test('tells a client that has it only what moved', async () => {
    const first = await sheet();
    const same = await sheet(first.version);
    expect(same.rows).toEqual([]);
    expect(same.order).toBe('as before');
    await server.edit('thermal.gus', 'THM-001 "', 'THM-001 "\u00a0');
    const moved = await sheet(same.version);
    expect(new Set(moved.rows.map(row => row.requirement))).toEqual(new Set(['THM-001']));
    await server.edit('thermal.gus', '\u00a0', '');
    await server.edit(
      'thermal.gus',
      'check ultimate for',
      'check yield for L in corners(LaunchCases): L.axial <= 100 g0\n      check ultimate for',
    );
    const more = await sheet(moved.version);
    expect(more.order).toHaveLength(first.rows.length + 1);
    await server.edit('thermal.gus', 'check yield for L in corners(LaunchCases): L.axial <= 100 g0\n      ', '');
    const unknown = await sheet(1);
    expect(unknown.order).toBeNull();
    expect(unknown.rows).toHaveLength(first.rows.length);
  });
});

describe('a trial', () => {
  test('moves margins and the mass beside the text, and is dropped without a trace', async () => {
    const before = await sheet();
    const state = await trial([{ name: 'Bus.Battery.BatteryTray.t', text: '4.4 mm' }]);
    expect(state.problems).toEqual([]);
    expect(state.values[0]).toMatchObject({ name: 'Bus.Battery.BatteryTray.t', text: '4.4 mm' });
    const tried = await sheet(before.version);
    const moved = tried.rows.filter(row => row.tried);
    expect(moved.length).toBeGreaterThan(2);
    expect(
      moved
        .filter(row => row.part === 'Bus.Battery.BatteryTray' && row.kind === 'strength')
        .every(row => row.tried!.margin! > row.margin!),
    ).toBe(true);
    expect(tried.mass.tried).toBeGreaterThan(tried.mass.predicted!);
    expect(await trial([])).toEqual({ values: [], problems: [] });
    const after = await sheet();
    expect(after.rows).toEqual(before.rows);
    expect(after.mass).toEqual(before.mass);
  });

  test('is written where the value stands', async () => {
    await trial([{ name: 'Bus.Battery.BatteryTray.t', text: '4.4 mm' }]);
    const { changes } = await server.request<{
      changes: Record<string, { newText: string; range: { start: { line: number } } }[]>;
    }>('gusset/applyTrial', 'battery.gus', {});
    expect(Object.keys(changes)).toEqual([server.uri('battery.gus')]);
    expect(Object.values(changes)[0]!.map(edit => edit.newText)).toEqual(['4.4 mm']);
    await trial([{ name: 'Bus.Battery.BatteryTray.t', text: '4.4 kg' }]);
    await expect(server.request('gusset/applyTrial', 'battery.gus', {})).rejects.toThrow(
      /is length; what is tried for it is mass/,
    );
    await trial([]);
  });

  test('knows what stands under the cursor', async () => {
    const position = server.position('battery.gus', '  t = ', 2);
    const found = await server.request<Triable[]>('gusset/triable', 'battery.gus', { position });
    expect(found).toEqual([{ name: 'Bus.Battery.BatteryTray.t', written: '2.4 mm', own: true }]);
    const [material] = await server.request<Triable[]>('gusset/triable', 'battery.gus', {
      position: server.position('battery.gus', 'material = ', 2),
    });
    expect(material!.name).toBe('Bus.Battery.BatteryTray.material');
    expect(await server.request('gusset/choices', 'battery.gus', { name: material!.name })).toContain('AlSheet');
  });
});

describe('overviews', () => {
  test('of the project count what the table counts', async () => {
    const [project, ...others] = await server.ask<ProjectOverview[]>('gusset/overview', {});
    expect(others).toEqual([]);
    const count = (status: string): number =>
      project!.requirements.filter(requirement => requirement.status === status).length;
    expect([count('failing'), count('undetermined'), count('waived'), count('unverified'), count('verified')]).toEqual([
      1, 1, 1, 3, 68,
    ]);
    expect(project!.parts.length).toBeGreaterThan(25);
    const text = JSON.stringify(project!.chain);
    expect(text).toMatch(/"kind":"lot"/);
    expect(text).toMatch(/"kind":"evidence"/);
  });

  test('in a few numbers say the same', async () => {
    const [project] = await server.ask<ProjectOverview[]>(overviewMessage.method, {});
    // What only a configuration puts in is a part too, though the mass of the base model knows nothing of it.
    expect(await server.ask<ProjectCounts[]>(countsMessage.method, {})).toEqual([
      {
        uri: project!.uri,
        name: 'Cordgrass',
        requirements: { failing: 1, undetermined: 1, waived: 1, unverified: 3, verified: 68 },
        parts: project!.parts.length + 1,
        configurations: 2,
      },
    ]);
  });

  test('of a document hold its requirements with their lines', async () => {
    const found = await server.request<RequirementOverview[]>('gusset/requirements', 'thermal.gus', {});
    const failing = found.find(requirement => requirement.label === 'THM-001')!;
    expect(failing).toMatchObject({ status: 'failing' });
    expect(server.texts.get('thermal.gus')!.split('\n')[failing.location.line]).toContain('requirement THM-001');
  });
});

describe('pictures', () => {
  test('of a sweep, a spectrum and the masses are SVG without scripts, and numbers beside', async () => {
    const { rows } = await sheet();
    const spectra = await server.request<string[]>('gusset/spectra', 'battery.gus', {});
    expect(spectra.length).toBeGreaterThan(2);
    const row = rows.find(candidate => candidate.requirement === 'THM-001')!;
    for (const subject of [
      { kind: 'sweep', row: row.id },
      { kind: 'spectrum', load: spectra[0]! },
      { kind: 'mass' },
    ] as const) {
      const picture = (await plot(subject))!;
      expect(picture.svg).toMatch(/^<svg xmlns[^>]*role="img"/);
      expect(picture.svg).not.toMatch(/<script|NaN|undefined|Infinity/);
      expect(picture.csv.split('\n').length).toBeGreaterThan(3);
    }
    for (const { id } of rows)
      expect((await plot({ kind: 'sweep', row: id }))!.svg).not.toMatch(/NaN|undefined|Infinity/);
    expect(await plot({ kind: 'sweep', row: 'nothing#1' })).toBeNull();
  });
});
