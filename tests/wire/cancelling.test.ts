/** Long answers let others come in between: they can be cancelled, and an edit makes them void. */
import { expect, test } from 'vitest';
import { CancellationTokenSource, LSPErrorCodes } from 'vscode-languageserver-protocol';
import { TestServer } from '../support/server.js';
import { useServer } from '../support/suite-server.js';

const MANY = 400;
let server: TestServer;
const files = Object.fromEntries(
  Array.from({ length: MANY }, (_, i) => [
    `f${i}.gus`,
    `let v${i} = 2 * shared\npart P${i} { t = 3 mm   let u = t * shared }\n`,
  ]),
);
useServer(
  () => TestServer.start({ 'project.gus': 'project P "P" { date = 2027-01-01 }\nlet shared = 3\n', ...files }),
  ['project.gus'],
  started => {
    server = started;
  },
);

const references = (): object => ({
  textDocument: { uri: server.uri('project.gus') },
  position: server.position('project.gus', 'shared'),
  context: { includeDeclaration: true },
});

test.each(['textDocument/references', 'textDocument/rename'])(
  '%s: whole when nobody minds, and broken off when cancelled',
  async method => {
    const params = { ...references(), newName: 'common' };
    const whole = await server.ask<unknown[] | { changes: object }>(method, params);
    expect(Array.isArray(whole) ? whole.length : Object.keys(whole.changes).length).toBe(
      Array.isArray(whole) ? 2 * MANY + 1 : MANY + 1,
    );
    const source = new CancellationTokenSource();
    const answer = server.connection.sendRequest(method, params, source.token);
    source.cancel();
    await expect(answer).rejects.toMatchObject({ code: LSPErrorCodes.RequestCancelled });
  },
);

test('an edit in between makes the answer void', async () => {
  const answer = server.connection.sendRequest('textDocument/references', references());
  const edited = server.edit('project.gus', 'shared = 3', 'shared = 4');
  await expect(answer).rejects.toMatchObject({ code: LSPErrorCodes.ContentModified });
  await edited;
});
