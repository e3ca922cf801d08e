/** `gusset/settled`: said once all that was told has been judged, and not before. */
import { expect, test } from 'vitest';
import { settingsMessage } from '../../server/protocol/messages.js';
import { sheetMessage, type Sheet } from '../../server/protocol/sheet.js';
import { TestServer } from '../support/server.js';
import { useServer } from '../support/suite-server.js';

const FILE = 'limit.gus';
/** So much that reading it takes longer than a rest in typing. */
const RUNS = Array.from({ length: 4 }, (_, i) => `Run${i}`);
const DATA = `VM [MPa],Note\n${`80,${'x'.repeat(20)}\n`.repeat(90_000)}`;
const FILES = {
  'project.gus': `project P "P" { date = 2027-01-01 }\n${RUNS.map(run => `table ${run} = file("${run}.csv") { vm as MPa "VM" }\n`).join('')}`,
  [FILE]: `let limit = 100 MPa\nrequirement R-1 "The stress shall stay below the limit." {\n${RUNS.map(run => `  check max(${run}.vm) <= limit\n`).join('')}  verify by analysis\n}\n`,
  ...Object.fromEntries(RUNS.map(run => [`${run}.csv`, DATA])),
};
let server: TestServer;
useServer(
  () => TestServer.start(FILES),
  [FILE],
  async started => {
    server = started;
    await server.edit(FILE, '100 MPa', '120 MPa');
  },
);

const margins = async (): Promise<ReadonlySet<string>> =>
  new Set((await server.request<Sheet>(sheetMessage.method, FILE, { known: null })).rows.map(row => row.marginText));

test('not before data are read, though the text was edited meanwhile', async () => {
  expect(await margins()).toEqual(new Set(['+0.50']));
});

test('after every change, of settings too', async () => {
  await server.edit(FILE, '120 MPa', '160 MPa');
  await server.settled();
  expect(await margins()).toEqual(new Set(['+1.00']));
  await server.tell(settingsMessage.method, { inlayHintsPerLine: 2 });
  await server.settled();
});
