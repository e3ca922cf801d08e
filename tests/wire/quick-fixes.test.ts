/**
 * Quick fixes over the wire: offered at the finding, applied, and the finding is gone. Each rule's own fix is tested in
 * `tests/findings/fixes.test.ts`.
 */
import { expect, test } from 'vitest';
import type { CodeAction } from 'vscode-languageserver-types';
import { TestServer } from '../support/server.js';
import { useServer } from '../support/suite-server.js';

const FILE = 'a.gus';
const HEAD =
  'project P "P" { date = 2027-06-01 }\nmaterial M "M" { density = 2 g/cm^3 }\nlot L-1 "Lot" of M { certificate = file("L-1.txt") }\nmilestone CDR "CDR" { date = 2027-04-20 }\n';
let server: TestServer;
useServer(
  () => TestServer.start({ [FILE]: HEAD, 'L-1.txt': 'x' }),
  [FILE],
  started => {
    server = started;
  },
);

test.each([
  [
    'unknown-name',
    'let width = 2 mm\nlet area = widht * 3 mm\n',
    'Replace by width',
    'let width = 2 mm\nlet area = width * 3 mm\n',
  ],
  ['unknown-unit', 'let width = 2 MPA\n', 'Replace by MPa', 'let width = 2 MPa\n'],
  [
    'unknown-block',
    'requirment R-1 "It shall hold." { verify by analysis }\n',
    'Replace by requirement',
    'requirement R-1 "It shall hold." { verify by analysis }\n',
  ],
  [
    'requirement-without-method',
    'requirement R-1 "It shall hold." { check 3 N <= 4 N }\n',
    'Add verify by analysis',
    'requirement R-1 "It shall hold." { check 3 N <= 4 N   verify by analysis }\n',
  ],
  [
    'part-without-lot',
    'part Rail "Rail" { drawing = "SP-1"   material = M }\n',
    'Take it from L-1',
    'part Rail "Rail" { drawing = "SP-1"   material = M from L-1 }\n',
  ],
  [
    'duplicate-name',
    'part A { t = 3 mm }\npart A { t = 4 mm }\n',
    'Rename it A2',
    'part A { t = 3 mm }\npart A2 { t = 4 mm }\n',
  ],
  ['points-added', 'let x = 20 degC + 30 degC\n', 'Take their mean', 'let x = mean(20 degC, 30 degC)\n'],
])('%s', async (code, wrong, title, right) => {
  const before = server.texts.get(FILE)!;
  const version = await server.edit(FILE, before, HEAD + wrong);
  const found = (await server.until(FILE, findings => findings.some(finding => finding.code === code), version)).find(
    finding => finding.code === code,
  )!;
  const actions = await server.request<CodeAction[]>('textDocument/codeAction', FILE, {
    range: found.range,
    context: { diagnostics: [found], only: ['quickfix'] },
  });
  const action = actions.find(candidate => candidate.title === title)!;
  expect(action, actions.map(candidate => candidate.title).join(' | ')).toMatchObject({
    kind: 'quickfix',
    diagnostics: [{ code, message: found.message, range: found.range }],
  });
  const after = server.edited(FILE, action.edit!.changes![server.uri(FILE)]!);
  expect(after).toBe(HEAD + right);
  const mended = await server.edit(FILE, HEAD + wrong, after);
  await server.until(FILE, findings => findings.every(finding => finding.code !== code), mended);
});
