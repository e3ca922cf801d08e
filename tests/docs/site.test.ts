/** The documentation site: whole, without a link that leads nowhere, and found by what an engineer types. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { BUILTINS, CONSTANTS } from '../../server/engine/elaboration/builtins.js';
import { RULES } from '../../server/findings/index.js';
import {
  BLOCK_WORDS,
  BLOCKS,
  FORMAT_WORDS,
  FUNCTION_EXAMPLES,
  LABEL_WORDS,
  LEVEL_WORDS,
  PARAMETER_TYPES,
  RESERVED,
  STATEMENT_WORDS,
  SUFFIX_WORDS,
  WORDS,
} from '../../server/language/index.js';
import { NAMED_QUANTITIES, tableSymbols } from '../../server/units/index.js';
import { handwrittenPages } from '../../site/handwritten.js';
import { CAUTION } from '../../site/layout.js';
import { createSearch, type Search } from '../../site/search.js';
import { buildSite, type Site } from '../../site/site.js';
import { formulas, items, read } from '../library/sources.js';
import { checkScenario } from '../support/fixture.js';
import { brokenLinks, repeatedIds } from './site-links.js';

/** Written beside the pages when the site is built. */
const SHARED = ['site.css', 'site.js'];
/** Hits among which a thing has to be that is asked for by its name. */
const FIRST_HITS = 3;

/** Findings about files that an example cites and about what is not evaluated yet. */
const ABSENT = /\[(data-file|missing-file|not-evaluated-yet|library-missing)\]/;

let site: Site;
let search: Search;
let pages: [path: string, html: string][];
beforeAll(async () => {
  site = await buildSite('.');
  search = createSearch(site.entries);
  pages = [...site.files].flatMap(([path, content]) => (path.endsWith('.html') ? [[path, String(content)]] : []));
});

const words = new Set([
  ...RESERVED,
  ...STATEMENT_WORDS,
  ...SUFFIX_WORDS,
  ...FORMAT_WORDS,
  ...LEVEL_WORDS,
  ...PARAMETER_TYPES,
  ...[...LABEL_WORDS].filter(word => word !== '#' && !BLOCK_WORDS.has(word) && word !== 'severity'),
  ...[...BLOCKS.values()].flatMap(({ statements, fields }) => [
    ...statements,
    ...Object.values(fields).flatMap(field => field.words ?? []),
  ]),
]);

describe('pages', () => {
  test('no link leads nowhere or out of the site', () => {
    expect(brokenLinks(site.files, SHARED)).toEqual([]);
  });

  test('a link that leads nowhere is found', () => {
    const file = (body: string): ReadonlyMap<string, string> =>
      new Map([
        ['a.html', body],
        ['b/c.html', '<h2 id="there">'],
      ]);
    expect(brokenLinks(file('<a href="b/c.html#there">'))).toEqual([]);
    expect(brokenLinks(file('<a href="b/d.html">'))).toEqual(['a.html: b/d.html leads to no file']);
    expect(brokenLinks(file('<img src="b/c.html#here">'))).toEqual(['a.html: b/c.html#here leads to no place in its page']);
    expect(brokenLinks(file('<a class="x" href="https://example.org">'))).toHaveLength(1);
  });

  test('an id stands once', () => {
    for (const [path, html] of pages) expect(repeatedIds(html), path).toEqual([]);
  });

  test('the caution stands at the foot of each', () => {
    for (const [path, html] of pages) expect(html, path).toContain(`<footer>${CAUTION}</footer>`);
  });

  test('no style or script but the shared ones, and nothing that is run from a text', () => {
    for (const [path, html] of pages) {
      expect(html.match(/<script(?! defer src="[./]*site\.js"><\/script>)/g), path).toBeNull();
      expect(html.match(/<style|\sstyle="|\son\w+="|@import|url\(/g), path).toBeNull();
    }
  });

  test('each entry of the search leads to a place', () => {
    const links = site.entries.map(({ url }) => `<a href="${url}">`).join('');
    expect(brokenLinks(new Map([...site.files, ['entries.html', links]]), SHARED)).toEqual([]);
  });

  test('a page that somebody adds is in the site', () => {
    const root = mkdtempSync(join(tmpdir(), 'gusset-site-'));
    mkdirSync(join(root, 'docs/how-to'), { recursive: true });
    for (const name of ['README.md', 'DEVELOPERS.md', 'CHANGELOG.md', 'docs/tutorial.md', 'docs/how-to/weigh-a-part.md'])
      writeFileSync(join(root, name), `# ${name}\n`);
    const found = handwrittenPages(root).map(({ path, group }) => `${group} ${path}`);
    rmSync(root, { recursive: true });
    expect(found).toEqual([
      'Begin index.html',
      'Begin tutorial.html',
      'How it is built changelog.html',
      'How it is built developers.html',
      'How to how-to/weigh-a-part.html',
      'undefined how-to/index.html',
    ]);
  });
});

describe('the search finds by its name', () => {
  const all = (kind: string, names: Iterable<string>): (readonly [kind: string, name: string])[] =>
    [...names].map(name => [kind, name] as const);

  test.each([
    ...all('word', words),
    ...all('block', BLOCK_WORDS),
    ...all('function', BUILTINS.keys()),
    ...all('constant', CONSTANTS.keys()),
    ...all('unit', tableSymbols()),
    ...all('dimension', NAMED_QUANTITIES.map(({ name }) => name)),
    ...all('finding', RULES.keys()),
    ...all('formula', formulas.map(({ name }) => name)),
    ...all('table', items.filter(({ kind }) => kind !== 'formula').map(({ name }) => name)),
  ])('%s %s', (kind, name) => {
    const hits = search(name).slice(0, FIRST_HITS);
    expect(hits.map(hit => `${hit.kind} ${hit.name}`)).toContain(`${kind} ${name}`);
  });

  test('a field, behind nothing but what has the same name', () => {
    for (const { kind, fields } of BLOCKS.values())
      for (const field of Object.keys(fields)) {
        const hits = search(field);
        const at = hits.findIndex(({ title }) => title === `${field} of ${kind}`);
        expect(at, `${field} of ${kind}`).toBeGreaterThanOrEqual(0);
        expect(new Set(hits.slice(0, at).map(({ name }) => name)).size, `${field} of ${kind}`).toBeLessThanOrEqual(1);
      }
  });

  test('other spellings, and what is no unit', () => {
    expect(search('um')[0]).toMatchObject({ kind: 'unit', name: 'µm' });
    expect(search('ohm')[0]).toMatchObject({ kind: 'unit', name: 'Ω' });
    expect(search('mN')[0]).toMatchObject({ title: 'millinewton' });
    expect(search('MN')[0]).toMatchObject({ title: 'meganewton' });
    expect(search('psig')[0]).toMatchObject({ kind: 'no unit' });
  });

  test('what is typed wrongly, and nothing for nothing', () => {
    expect(search('bendng stress').some(({ name }) => name === 'bending_stress')).toBe(true);
    expect(search('  ')).toEqual([]);
    expect(search('qqqqqq')).toEqual([]);
  });
});

describe('the tables of the language', () => {
  test('no word is said twice of one kind', () => {
    const said = WORDS.map(({ kind, word }) => `${kind} ${word}`);
    expect(said.filter((each, i) => said.indexOf(each) !== i)).toEqual([]);
  });

  test('every block and every function has an example', () => {
    expect([...BLOCKS.values()].filter(({ example }) => !example).map(({ kind }) => kind)).toEqual(['file']);
    expect(Object.keys(FUNCTION_EXAMPLES).sort()).toEqual([...BUILTINS.keys()].sort());
  });

  test.each([
    ...WORDS.flatMap(({ word, kind, example }) => (example ? [[`${kind} ${word}`, example] as const] : [])),
    ...[...BLOCKS].flatMap(([kind, { example }]) => (example ? [[kind, example] as const] : [])),
    ...Object.entries(FUNCTION_EXAMPLES),
  ])('the example of %s comes out', (name, example) => {
    expect(read('example.gus', example).problems).toEqual([]);
    const files = new Map([['example.gus', new TextEncoder().encode(example)]]);
    const mismatches = checkScenario({ name, files, sources: ['example.gus'] })
      .map(({ line, message }) => `line ${line}: ${message}`)
      .filter(message => !ABSENT.test(message));
    expect(mismatches).toEqual([]);
  });
});
