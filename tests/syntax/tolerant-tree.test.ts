/** The tolerant tree: that of the parser where a text is sound, and every token of it where it is not. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseSound, tokenize } from '../../server/syntax/parser.js';
import { split } from '../../server/syntax/splitter.js';
import { Reader } from '../../server/syntax/tolerant/reader.js';
import { readText } from '../../server/syntax/tolerant/text.js';
import { isTree, nodesOf, type Token, type Tree } from '../../server/syntax/tolerant/tree.js';
import { generateProject } from '../bench/generate.js';

function sources(folder: string): string[] {
  return readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter(path => path.endsWith('.gus'))
    .map(path => readFileSync(join(folder, path), 'utf8'));
}

const TEXTS = [
  ...sources('examples'),
  ...sources('server/library'),
  ...sources('tests/fixtures'),
  ...Object.values(generateProject(100)),
];
const PIECES = TEXTS.flatMap(text => split(text).map(piece => piece.text));

const INFIX: ReadonlySet<unknown> = new Set(['Arithmetic', 'Logical']);

/** `type property` of every node: operands stand in what their operators stand in, however these bind. */
function rolesInTree(tree: Tree): string[] {
  return [...nodesOf(tree)].flatMap(({ node }) =>
    node.parts.flatMap(({ property, value }) =>
      isTree(value) && !INFIX.has(node.type) && !INFIX.has(value.type)
        ? [`${node.type}.${property} ${value.type}`]
        : [],
    ),
  );
}

interface AstNode {
  readonly $type: string;
}

const isNode = (value: unknown): value is AstNode =>
  typeof value === 'object' && value !== null && '$type' in value && typeof value.$type === 'string';

function rolesInAst(node: AstNode): string[] {
  return Object.entries(node).flatMap(([property, held]) =>
    (Array.isArray(held) ? (held as unknown[]) : [held]).flatMap(value => {
      if (property.startsWith('$') || !isNode(value)) return [];
      const own = INFIX.has(node.$type) || INFIX.has(value.$type) ? [] : [`${node.$type}.${property} ${value.$type}`];
      return [...own, ...rolesInAst(value)];
    }),
  );
}

function tokensOf(tree: Tree): Token[] {
  return [...leaves(tree)];
}

function* leaves(tree: Tree): Iterable<Token> {
  for (const { value } of tree.parts) {
    if (isTree(value)) yield* leaves(value);
    else yield value;
  }
}

test('a sound text has the nodes that the parser makes', () => {
  for (const text of PIECES) {
    const parsed = parseSound(text);
    if (!parsed) continue;
    const tree = new Reader(tokenize(text).tokens).tree();
    const interpolations = (role: string): boolean => !role.endsWith(' Interpolation');
    expect(rolesInTree(tree).filter(interpolations).sort(), text).toEqual(rolesInAst(parsed.document).sort());
  }
});

test('every token of any text stands in its tree, in its order', () => {
  const scrap = fc.constantFrom('{', '}', '(', ')', '[', ']', ',', '=', 'let ', ' for ', '.', ': ', '\n', '3 mm ', '"');
  fc.assert(
    fc.property(
      fc.constantFrom(...PIECES),
      fc.array(fc.tuple(fc.double({ min: 0, max: 1, noNaN: true }), scrap)),
      (piece, edits) => {
        let text = piece.slice(0, 2_000);
        for (const [at, scrapped] of edits) {
          const offset = Math.floor(at * text.length);
          text = text.slice(0, offset) + scrapped + text.slice(offset + scrapped.length);
        }
        const { tokens } = tokenize(text);
        expect(tokensOf(new Reader(tokens).tree())).toEqual(tokens);
      },
    ),
    { numRuns: 300 },
  );
});

const HOSTILE: readonly (readonly [string, string])[] = [
  ['brackets that stay open', '('.repeat(20_000)],
  ['brackets that stay open, and signs', `let x = ${'('.repeat(5_000)}${': '.repeat(5_000)}`],
  ['closing brackets', ')]}'.repeat(10_000)],
  ['signs', `let x = ${'- '.repeat(10_000)}x${' + x'.repeat(10_000)}`],
  ['conditions in conditions', `let x = ${'if a then b else '.repeat(3_000)}c`],
  ['numbers', '1 '.repeat(20_000)],
  ['powers', `let x = ${'2 ^ '.repeat(10_000)}2 )`],
];

test.each(HOSTILE)('%s are read in time', (_, text) => {
  const start = performance.now();
  new Reader(tokenize(text).tokens).expected();
  expect(performance.now() - start).toBeLessThan(5_000);
});

/** Types of the nodes around the end of a text, with what each is in the one around it. */
function around(text: string, kind: string): string[] {
  const found = new Reader(tokenize(text).tokens).expected().find(each => each.kind === kind);
  return (found?.path ?? []).map(({ node, role }) => role || node.type);
}

describe('what comes next', () => {
  test.each([
    [
      'let x = 3 mm * ',
      'NAME',
      ['Document', 'Document.statements', 'Let.value', 'Value.expression', 'Arithmetic.operands'],
    ],
    ['check a for L in ', 'NAME', ['Document', 'Document.statements', 'Check.binders', 'Binder.domain']],
    [
      'let y = f(a, b = ',
      'NAME',
      ['Document', 'Document.statements', 'Let.value', 'Value.expression', 'Call.arguments', 'Argument.value'],
    ],
    [
      'let t = [1 -> ',
      'NUMBER',
      ['Document', 'Document.statements', 'Let.value', 'Value.expression', 'List.entries', 'Entry.value'],
    ],
    [
      'verify by test on ',
      'LABEL',
      ['Document', 'Document.statements', 'Verify.methods', 'Method.article', 'Path.segments'],
    ],
  ] as const)('%s', (text, kind, path) => {
    expect(around(text, kind)).toEqual(path);
  });

  test('a word only where the grammar has it', () => {
    const words = (text: string): string[] => new Reader(tokenize(text).tokens).expected().map(({ kind }) => kind);
    expect(words('let x = if a ')).toContain('then');
    expect(words('let x = if a ')).not.toContain('else');
    expect(words('let x = if a then b ')).toContain('else');
    expect(words('let x = a ')).not.toContain('normal');
    expect(words('let x = a ± b ')).toContain('normal');
  });
});

describe('what is missing', () => {
  const typesIn = (text: string): string[] => {
    const { tree } = readText(text)[0]!;
    return (tree.node('statements')?.node('block') ?? tree).nodes('statements').map(({ type }) => type);
  };
  test.each([
    ['an operand', 'part A {\n  check <= 3 mm\n  t = 1 mm\n}', ['Check', 'Field']],
    ['a value, before a field', 'part A {\n  t = 3 mm *\n  w = 1 mm\n}', ['Field', 'Field']],
    ['a bracket', 'part A {\n  let t = f(1, 2\n  requirement R-1 "x" { }\n}', ['Let', 'Declaration']],
    ['the head of a sweep', 'part A {\n  check for L in\n  requirement R-1 "x" { }\n}', ['Check', 'Declaration']],
  ])('%s', (_, text, types) => {
    expect(typesIn(text)).toEqual(types);
  });
});
