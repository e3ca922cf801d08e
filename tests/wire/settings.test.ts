/** What the project block says decides; what an editor says shows. Either applies while one types. */
import { afterEach, expect, test } from 'vitest';
import type { Diagnostic, InlayHint } from 'vscode-languageserver-types';
import type { ProjectOverview } from '../../server/protocol/overview.js';
import type { Sheet } from '../../server/protocol/sheet.js';
import { TestServer } from '../support/server.js';

const PROJECT = `project Demo "Demo" { date = 2027-06-01 }
milestone CDR "Review" { date = 2027-12-01 }
`;
const PARTS = `part Wall "Wall" { t = 1.9 mm   width = 3 mm   let a = 2 * t let b = 3 * t }
requirement STR-1 "The wall shall be at least 2 mm thick." { check Wall.t >= 2 mm   verify by analysis }
requirement STR-2 "The wall shall be at least 2.9 mm wide." { check Wall.width >= 2.9 mm   verify by analysis }
requirement STR-3 "The wall shall be at least 5 mm wide." { check Wall.width >= 5 mm   verify by analysis }
waiver WV-1 for STR-1 { reason = "thin"   approved = "board"   accepts margin >= -0.10   expires = 2027-09-30 }
`;

let server: TestServer;
const start = async (options: object = {}): Promise<void> => {
  server = await TestServer.start(
    { 'project.gus': PROJECT, 'parts.gus': PARTS, 'other.gus': 'check 1 mm <= cannot\n' },
    { options },
  );
  await server.open('project.gus');
  await server.open('parts.gus');
  await server.until('parts.gus', findings => findings.length > 0);
};
afterEach(async () => {
  expect(server.logged).toEqual([]);
  await server.close();
});

const tell = (settings: object): Promise<void> => server.connection.sendNotification('gusset/settings', settings);
const failures = (findings: readonly Diagnostic[]): unknown[] =>
  findings.filter(finding => finding.code === 'failing-margin').map(finding => finding.severity);
const status = async (label: string): Promise<string> =>
  (await server.ask<ProjectOverview[]>('gusset/overview', {}))[0]!.requirements.find(
    requirement => requirement.label === label,
  )!.status;
const asOf = async (): Promise<string> =>
  (await server.request<Sheet>('gusset/sheet', 'parts.gus', { known: null })).asOf;

test('severities, the thin margin and the date of the project block reach the findings of every file at once', async () => {
  await start();
  expect(failures(server.findings('parts.gus'))).toEqual([1]);
  await server.edit('project.gus', 'date = 2027-06-01', 'date = 2027-06-01   severity failing-margin = warning');
  await server.until('parts.gus', findings => String(failures(findings)) === '2');
  await server.edit('project.gus', 'failing-margin = warning', 'failing-margin = hint by CDR');
  await server.until('parts.gus', findings => String(failures(findings)) === '1');
  const unknown = (findings: readonly Diagnostic[]): unknown =>
    findings.find(finding => finding.code === 'unknown-name')?.severity;
  expect(unknown(server.findings('other.gus'))).toBe(1);
  await server.edit('project.gus', 'severity failing', 'severity unknown-name = warning   severity failing');
  await server.until('other.gus', findings => unknown(findings) === 2);
  await server.edit('project.gus', 'date = 2027-12-01', 'date = 2027-05-01');
  await server.until('parts.gus', findings => String(failures(findings)) === '4');
  await server.edit('project.gus', 'date = 2027-06-01', 'date = 2027-10-01');
  await server.until('parts.gus', findings => String(failures(findings)) === '4,4');
  expect(await status('STR-1')).toBe('failing');
  await server.edit('project.gus', 'date = 2027-10-01', 'date = 2027-10-01   thin_margin = 10 %');
  await server.until('parts.gus', findings => findings.some(finding => finding.code === 'thin-margin'));
});

test("an editor may ask how things stand as of another date, and goes back to the project's", async () => {
  await start();
  expect([await status('STR-1'), await asOf()]).toEqual(['waived', '2027-06-01']);
  await tell({ asOf: '2027-10-01' });
  await server.until('parts.gus', findings => failures(findings).length === 2);
  expect([await status('STR-1'), await asOf()]).toEqual(['failing', '2027-10-01']);
  await server.edit('project.gus', 'date = 2027-06-01', 'date = 2027-06-01   severity unknown-name = hint by CDR');
  const unknown = (findings: readonly Diagnostic[]): unknown =>
    findings.find(finding => finding.code === 'unknown-name')?.severity;
  await tell({ asOf: '2028-01-01' });
  await server.until('other.gus', findings => unknown(findings) === 4);
  await tell({ asOf: '2027-10-01' });
  await server.until('other.gus', findings => unknown(findings) === 1);
  // It stays while the text changes, also that of the project block.
  await server.edit('project.gus', 'date = 2027-06-01', 'date = 2027-06-02');
  expect(await asOf()).toBe('2027-10-01');
  for (const none of ['', '2027-13-01', 'tomorrow', 7]) await tell({ asOf: none });
  expect(await asOf()).toBe('2027-10-01');
  await tell({ inlayHintsPerLine: 2 });
  expect(await asOf()).toBe('2027-10-01');
  await tell({ asOf: null });
  await server.until('parts.gus', findings => failures(findings).length === 1);
  expect([await status('STR-1'), await asOf()]).toEqual(['waived', '2027-06-02']);
  await tell({ asOf: '2027-10-01' });
  const [overview] = await server.ask<ProjectOverview[]>('gusset/overview', {});
  expect(overview).toMatchObject({
    asOf: '2027-10-01',
    ownDate: '2027-06-02',
    milestones: [{ name: 'CDR', title: 'Review', date: '2027-12-01' }],
  });
});

test('from the start, too', async () => {
  await start({ asOf: '2027-10-01' });
  expect([await status('STR-1'), await asOf()]).toEqual(['failing', '2027-10-01']);
});

test("an editor without the extension changes its settings by the protocol's own notification", async () => {
  await start();
  const hints = async (): Promise<number> =>
    (
      await server.request<InlayHint[]>('textDocument/inlayHint', 'parts.gus', {
        range: { start: { line: 0, character: 0 }, end: { line: 1, character: 0 } },
      })
    ).length;
  expect(await hints()).toBe(1);
  await server.connection.sendNotification('workspace/didChangeConfiguration', {
    settings: { gusset: { inlayHintsPerLine: 2, asOf: '2027-10-01' } },
  });
  expect([await hints(), await asOf()]).toEqual([2, '2027-10-01']);
  for (const settings of [null, 3, {}, { gusset: null }, { gusset: { inlayHintsPerLine: 'many', pictures: 'purple' } }])
    await server.connection.sendNotification('workspace/didChangeConfiguration', { settings });
  expect([await hints(), await asOf()]).toEqual([2, '2027-10-01']);
});
