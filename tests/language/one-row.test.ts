/** A statement more in the language is a row more in its table: read, completed, coloured and documented by it. */
import { readFileSync } from 'node:fs';
import { transformSync } from 'esbuild';
import type { Grammar } from 'langium';
import { createServicesForGrammar } from 'langium/grammar';
import { expect, test, vi } from 'vitest';

vi.mock('../../server/language/statements.js', async original => {
  const { STATEMENTS } = await original<{ readonly STATEMENTS: object }>();
  const witness = {
    standsIn: ['evidence'],
    node: 'Witness',
    rule: "'witness' by=Text",
    form: 'witness "name"',
    documentation: 'In evidence: who saw it.',
    example: 'evidence TR-1 for LUG-01 "Pull test" {\n  witness "R. Marsh"\n}',
  };
  return { STATEMENTS: { ...STATEMENTS, witness } };
});

const { STATEMENTS, SUFFIXES, BLOCKS } = await import('../../server/language/index.js');
const { tokenize } = await import('../../server/syntax/parser.js');
const { Descent } = await import('../../server/syntax/lean/descent.js');
const { completionsAt } = await import('../../server/features/completion/completions.js');
const { typedTokens } = await import('../../server/features/token-types.js');
const { wordHover } = await import('../../server/features/word-hover.js');
const { open } = await import('../findings/project.js');
const { contextOf } = await import('../support/features.js');
const { rowsGrammar } = (await import(new URL('../../scripts/language.mjs', import.meta.url).href)) as {
  rowsGrammar(tables: object): string;
};
const { leanParser } = (await import(new URL('../../scripts/lean-parser.mjs', import.meta.url).href)) as {
  leanParser(grammar: Grammar): string;
};

const EXAMPLE = (STATEMENTS as unknown as { witness: { example: string } }).witness.example;
const AT = EXAMPLE.indexOf('witness');

type Parser = InstanceType<typeof Descent> & { Document(): object };

/** The lean parser of the grammar with the row. */
async function parserWithRow(): Promise<new (tokens: unknown) => Parser> {
  const files = ['gusset', 'declarations', 'requirements', 'expressions', 'tokens'];
  const texts = [
    ...files.map(file => readFileSync(`grammar/${file}.langium`, 'utf8')),
    rowsGrammar({ STATEMENTS, SUFFIXES }),
  ];
  const grammar = texts.join('\n').replaceAll(/^import .*$/gm, '');
  const { Grammar: linked } = (await createServicesForGrammar({ grammar })) as unknown as { Grammar: Grammar };
  const { code } = transformSync(leanParser(linked).replaceAll(/^import .*$/gm, ''), { loader: 'ts' });
  return new Function('Descent', `${code.replace('export class', 'return class')}`)(Descent) as new (
    tokens: unknown,
  ) => Parser;
}

test('is read', async () => {
  const LeanParser = await parserWithRow();
  const parser = new LeanParser(tokenize(EXAMPLE).tokens);
  expect(parser.whole(() => parser.Document())).toMatchObject({
    statements: [{ $type: 'Declaration', block: { statements: [{ $type: 'Witness', by: { value: '"R. Marsh"' } }] } }],
  });
});

test('is completed where its blocks are, and there alone', () => {
  const labelsIn = (text: string, word: string): string[] => {
    const typed = text.slice(0, text.indexOf(word));
    return completionsAt(contextOf(open({ 'a.gus': text }), 'a.gus'), typed.length, undefined).items.map(
      ({ label }) => label,
    );
  };
  expect(labelsIn(EXAMPLE.replace('witness "R. Marsh"', 'HERE'), 'HERE')).toContain('witness');
  expect(labelsIn('article SN-1 of Lug {\n  HERE\n}', 'HERE')).not.toContain('witness');
  expect(BLOCKS.get('evidence')!.statements).toContain('witness');
});

test('is coloured and documented', () => {
  expect(typedTokens(open({ 'a.gus': EXAMPLE }), EXAMPLE).find(({ start }) => start === AT)?.type).toBe('keyword');
  expect(wordHover(EXAMPLE, AT + 1)?.markdown).toContain('who saw it');
});
