/** Whatever is typed, and wherever the caret is: no feature throws. */
import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { afterAll, expect, test } from 'vitest';
import { Refusal } from '../../server/features/feature.js';
import { Lines } from '../../server/features/lines.js';
import { Project } from '../../server/project/project.js';
import { contextOf, FEATURES as ALL, paramsAt } from '../support/features.js';

const SCRAPS = [
  '{',
  '}',
  '(',
  ')',
  '[',
  ']',
  '"',
  '#',
  '.',
  ',',
  ':',
  '=',
  '±',
  '/*',
  '//',
  '\n',
  ' ',
  '12 ',
  'let x = ',
  'part ',
  'check for L in ',
  'verify by ',
  'material.',
  'L.',
  '<= ',
  '{sigma',
  'requirement STR-',
  'file("',
  'if ',
  'reserve(k: ',
  '\u0000',
  '💥',
  'é',
  '-',
  '0',
  'formula f(M: ',
];
/** Requests of our own take parameters of their own. */
const FEATURES = ALL.filter(({ method }) => !method.startsWith('gusset/'));
/** Requests that go on from the answer to another. */
const FOLLOWING: Readonly<Record<string, readonly string[]>> = {
  'textDocument/completion': ['completionItem/resolve'],
  'textDocument/codeLens': ['codeLens/resolve'],
  'textDocument/prepareCallHierarchy': ['callHierarchy/incomingCalls', 'callHierarchy/outgoingCalls'],
  'textDocument/prepareTypeHierarchy': ['typeHierarchy/supertypes', 'typeHierarchy/subtypes'],
};
const FOLLOWED = new Set(Object.values(FOLLOWING).flat());

const asked = new Set<string>();
afterAll(() =>
  expect(FEATURES.map(({ method }) => method).filter(method => !asked.has(method) && !FOLLOWED.has(method))).toEqual(
    [],
  ),
);

const edit = fc.record({
  kind: fc.constantFrom('insert', 'insert', 'delete', 'cut', 'double'),
  at: fc.double({ min: 0, max: 1, noNaN: true }),
  length: fc.nat(40),
  scrap: fc.constantFrom(...SCRAPS),
});

async function answer(project: Project, method: string, file: string, params: object): Promise<unknown> {
  asked.add(method);
  try {
    return await FEATURES.find(feature => feature.method === method)!.handle(contextOf(project, file), params as never);
  } catch (error) {
    if (!(error instanceof Refusal))
      throw new Error(`${method} at ${JSON.stringify((params as { position?: unknown }).position)} of ${file}`, {
        cause: error,
      });
    return null;
  }
}

test.each([
  ['bracket', 150],
  ['cordgrass', 20],
])('random places in random text of %s', async (name, numRuns) => {
  const texts = new Map(
    readdirSync(`examples/${name}`)
      .filter(path => path.endsWith('.gus'))
      .map(path => [path, readFileSync(`examples/${name}/${path}`, 'utf8')]),
  );
  const names = [...texts.keys()];
  const project = new Project({ today: '2027-06-01' });
  for (const [path, text] of texts) project.setText(path, text);
  project.update();
  let broken = names[0]!;
  await fc.assert(
    fc.asyncProperty(
      fc.nat(names.length - 1),
      fc.array(edit, { minLength: 0, maxLength: 4 }),
      fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 2, maxLength: 2 }),
      fc.boolean(),
      async (which, edits, places, behindEdit) => {
        const file = names[which]!;
        let text = texts.get(file)!;
        let last = -1;
        for (const { kind, at, length, scrap } of edits) {
          const offset = Math.floor(at * text.length);
          last = offset;
          if (kind === 'insert') {
            text = text.slice(0, offset) + scrap + text.slice(offset);
            last = offset + scrap.length;
          } else if (kind === 'delete') text = text.slice(0, offset) + text.slice(offset + length);
          else if (kind === 'cut') text = text.slice(0, offset);
          else text = text.slice(0, offset) + text.slice(offset, offset + length) + text.slice(offset);
        }
        project.setText(broken, texts.get(broken)!);
        project.setText(file, text);
        broken = file;
        project.update();
        const lines = new Lines(text);
        const [first, second] = places.map(place => Math.floor(place * text.length));
        const position = lines.position(behindEdit && last >= 0 ? Math.min(last, text.length) : first!);
        const end = lines.position(second!);
        for (const { method } of FEATURES) {
          if (FOLLOWED.has(method)) continue;
          const context = contextOf(project, file);
          const found = await answer(project, method, file, paramsAt(context, method, position, end));
          if (method === 'textDocument/semanticTokens/full')
            expect((found as { data: number[] }).data.every(Number.isInteger)).toBe(true);
          const items = (found as { items?: unknown[] } | null)?.items ?? (found as unknown[] | null) ?? [];
          for (const next of FOLLOWING[method] ?? [])
            for (const item of items.slice(0, 3))
              await answer(project, next, file, next.includes('Hierarchy') ? { item } : (item as object));
        }
      },
    ),
    { numRuns, endOnFailure: true },
  );
});

test.each(['formula f(M: [', 'let x = 1\n"', 'x = 1 x = 2 "', '=', 'part A { check', 'let y: = '])(
  'half of a statement is read and read away again: %s',
  text => {
    const project = new Project({ today: '2027-06-01' });
    project.setText('a.gus', text);
    project.update();
    expect(project.findings('a.gus').length).toBeGreaterThan(0);
    project.setText('a.gus', 'let x = 1\n');
    project.update();
    expect(project.findings('a.gus')).toEqual([]);
  },
);
