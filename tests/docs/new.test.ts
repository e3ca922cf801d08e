/** What `npm run new` writes is sound as it is, so that one begins from something that works. */
import { expect, test } from 'vitest';
import { transformSync } from 'esbuild';
import { codesOf, readPage } from '../findings/project.js';
import { read } from '../library/sources.js';

const { filesOf } = (await import(new URL('../../scripts/new.mjs', import.meta.url).href)) as {
  filesOf(kind?: string, name?: string): readonly { readonly path: string; readonly text: string }[] | string;
};

function made(kind: string, name: string): Record<string, string> {
  const files = filesOf(kind, name);
  if (typeof files === 'string') throw new Error(files);
  return Object.fromEntries(files.map(({ path, text }) => [path, text]));
}

test.each(['command', 'feature', 'finding'])('a new %s is code of its own', kind => {
  for (const [path, text] of Object.entries(made(kind, kind === 'finding' ? 'names/first-try' : 'first-try')))
    if (path.endsWith('.ts')) expect(transformSync(text, { loader: 'ts' }).code, path).toContain('export default');
});

test('the page of a new finding has examples that are models', () => {
  const { severity, wrong, right } = readPage(made('finding', 'names/first-try')['docs/findings/names/first-try.md']!);
  expect(severity).toBe('warning');
  for (const example of [wrong!, right!]) expect(codesOf(example)).not.toContain('syntax');
});

test('a new formula is one of the library', () => {
  expect(read('first-try.gus', made('formula', 'first-try')['server/library/first-try.gus']!).problems).toEqual([]);
});

test('a new statement is a row with an example', () => {
  const [text] = Object.values(made('statement', 'witness'));
  expect(transformSync(text!, { loader: 'ts' }).code).toContain('witness: {');
  expect(text).toContain(`rule: "'witness' text=Text"`);
});

test.each([
  [[], 'Usage: npm run new KIND NAME, where KIND is one of command, feature, finding, formula, statement.'],
  [['finding', 'Not a name'], 'The name "Not a name" is not of the form lower-case-words.'],
  [['finding', 'names/unused-name'], 'server/findings/catalogue/names/unused-name.ts exists already.'],
  [
    ['finding', 'late'],
    'A finding stands in a folder by its topic: npm run new finding TOPIC/late, where docs/findings has the topics.',
  ],
  [['statement', 'two-words'], 'A statement begins with one word: two-words has several.'],
])('%j is refused', (args, reason) => {
  expect(filesOf(...args)).toBe(reason);
});
