import { describe, expect, test } from 'vitest';
import { TestServer } from '../support/server.js';
import { useServer } from '../support/suite-server.js';

const PROJECT = `project P "P" { date = 2027-01-01 }
let limit = 50 MPa
`;
const CHECK = `requirement R-1 "The stress shall stay below the limit." {
  check 60 MPa <= limit
  verify by analysis
}
`;
const FILES = { 'project.gus': PROJECT, 'check.gus': CHECK };

interface Report {
  readonly kind: string;
  readonly resultId: string;
  readonly items?: readonly { readonly code: string; readonly message: string }[];
}

describe('an editor that can only pull', () => {
  let server: TestServer;
  useServer(
    () =>
      TestServer.start(FILES, {
        capabilities: { textDocument: { diagnostic: {} }, workspace: { diagnostics: { refreshSupport: true } } },
      }),
    ['check.gus', 'project.gus'],
    started => {
      server = started;
    },
  );

  test('asks for a file, and is not sent the same twice', async () => {
    expect(server.capabilities['diagnosticProvider']).toEqual({
      identifier: 'gusset',
      interFileDependencies: true,
      workspaceDiagnostics: true,
    });
    const report = await server.request<Report>('textDocument/diagnostic', 'check.gus', {});
    expect(report.kind).toBe('full');
    expect(report.items!.map(item => item.code)).toEqual(['failing-margin']);
    expect(
      await server.request<Report>('textDocument/diagnostic', 'check.gus', { previousResultId: report.resultId }),
    ).toEqual({ kind: 'unchanged', resultId: report.resultId });
    const refreshes = server.refreshed.length;
    await server.edit('project.gus', '50 MPa', '55 MPa');
    const moved = await server.request<Report>('textDocument/diagnostic', 'check.gus', {
      previousResultId: report.resultId,
    });
    expect(moved.kind).toBe('full');
    expect(moved.items![0]!.message).toContain('-0.09');
    await server.settled();
    expect(server.refreshed.length).toBeGreaterThan(refreshes);
    await server.edit('project.gus', '55 MPa', '50 MPa');
  });

  test('asks for the whole workspace', async () => {
    const first = await server.ask<{ items: (Report & { uri: string; version: number | null })[] }>(
      'workspace/diagnostic',
      { previousResultIds: [] },
    );
    expect(first.items.map(item => [item.uri, item.kind, item.items!.length])).toEqual([
      [server.uri('check.gus'), 'full', 1],
      [server.uri('project.gus'), 'full', 0],
    ]);
    expect(first.items[0]!.version).toBe(1);
    const again = await server.ask<{ items: Report[] }>('workspace/diagnostic', {
      previousResultIds: first.items.map(({ uri, resultId }) => ({ uri, value: resultId })),
    });
    expect(again.items.map(item => item.kind)).toEqual(['unchanged', 'unchanged']);
  });

  test('is pushed nothing', () => {
    expect(server.published).toEqual([]);
    expect(server.logged).toEqual([]);
  });
});

test('an editor that takes pushes is pushed to, unless it asks to pull', async () => {
  const both = { textDocument: { diagnostic: {}, publishDiagnostics: {} } };
  const pushed = await TestServer.start(FILES, { capabilities: both });
  await pushed.open('check.gus');
  await pushed.until('check.gus', found => found.length === 1, 1);
  expect(pushed.capabilities['diagnosticProvider']).toBeUndefined();
  await pushed.close();
  const pulling = await TestServer.start(FILES, { capabilities: both, options: { diagnostics: 'pull' } });
  expect(pulling.capabilities['diagnosticProvider']).toBeDefined();
  await pulling.close();
});
