import { expect, test } from 'vitest';
import type { SignatureHelp } from 'vscode-languageserver-types';
import { TestServer } from '../support/server.js';
import { useServer } from '../support/suite-server.js';

let server: TestServer;
useServer(
  () => TestServer.start({ 'a.gus': START }),
  ['a.gus'],
  started => {
    server = started;
  },
);

const START = `load Pull "Pull" { force = 900 N   temperature = 20 degC .. 40 degC }
material Plate "Plate" { ultimate = [0 degC -> 120 MPa, 50 degC -> 100 MPa] }
/// Load on one strap.
/// F: force on the fitting
/// n: how many carry
formula share(F: force, n: number): force = F / n   requires n > 0
let m = 1 N
`;

async function help(expression: string): Promise<SignatureHelp | null> {
  const text = `${START}let x = ${expression}`;
  await server.edit('a.gus', server.texts.get('a.gus')!, text);
  return server.request<SignatureHelp | null>('textDocument/signatureHelp', 'a.gus', {
    position: { line: START.split('\n').length - 1, character: `let x = ${expression}`.length },
  });
}
const active = (answer: SignatureHelp | null): unknown =>
  answer?.signatures[0]!.parameters![answer.activeParameter!]!.label;

test('a formula of the project: parameters with dimensions, their meaning, what it requires', async () => {
  const answer = (await help('share('))!;
  expect(answer.signatures).toHaveLength(1);
  const [signature] = answer.signatures;
  expect(signature!.label).toBe('share(F: force, n: number): force');
  expect(signature!.parameters!.map(({ label }) => label)).toEqual(['F: force', 'n: number']);
  expect(signature!.parameters![0]!.documentation).toEqual({ kind: 'markdown', value: 'force on the fitting' });
  expect((signature!.documentation as { value: string }).value).toBe('Load on one strap.\n\nRequires `n > 0`.');
  expect(answer.activeParameter).toBe(0);
});

test('the argument that the caret is at, by place and by name', async () => {
  expect(active(await help('share(3 N, '))).toBe('n: number');
  expect(active(await help('share(n = 2, F = '))).toBe('F: force');
  expect(active(await help('share(max(1 N, 2 N), '))).toBe('n: number');
  expect(active(await help('share(max(1 N, '))).toBe('y');
});

test('a formula of the library says its validity and source', async () => {
  const answer = (await help('bending_stress(M = 3 N*m, '))!;
  expect(answer.signatures[0]!.label).toBe('bending_stress(M: moment, b: length, h: length): stress');
  const { value } = answer.signatures[0]!.documentation as { value: string };
  expect(value).toContain('Requires `b > 0 mm`, `h > 0 mm`.');
  expect(value).toContain('Valid: elastic, straight beam.');
  expect(value).toContain('Source: strength of materials');
  expect(active(answer)).toBe('b: length');
});

test('a builtin, a table, and nothing', async () => {
  expect((await help('atan2(1, '))!.signatures[0]!.label).toBe('atan2(y, x)');
  expect((await help('Plate.ultimate('))!.signatures[0]!.label).toBe(
    'Plate.ultimate(x: temperature): pressure or stress',
  );
  expect(await help('(1 + ')).toBeNull();
  expect(await help('m(')).toBeNull();
  expect(await help('sqrt(4)')).toBeNull();
  expect(server.logged).toEqual([]);
});
