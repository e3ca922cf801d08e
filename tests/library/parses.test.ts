import { describe, expect, it } from 'vitest';
import { BUILTINS, CONSTANTS } from '../../server/engine/elaboration/builtins.js';
import { formatText } from '../../server/syntax/formatter.js';
import { docLines, examplesOf, formulas, items, read, sources } from './sources.js';

describe.each([...sources])('%s', (file, text) => {
  it('parses and lowers', () => {
    const { pieces, problems } = read(file, text);
    expect(problems).toEqual([]);
    expect(pieces.flatMap(piece => piece.root.values).length).toBeGreaterThan(0);
  });

  it('is formatted', () => {
    expect(formatText(text)).toBe(text);
  });
});

it('gives each name once, and none that the language has', () => {
  const names = items.map(item => item.name);
  expect(names.filter((name, i) => names.indexOf(name) !== i)).toEqual([]);
  expect(names.filter(name => BUILTINS.has(name) || CONSTANTS.has(name))).toEqual([]);
});

describe.each(formulas.map(formula => [formula.name, formula] as const))('%s', (_, formula) => {
  const lines = docLines(formula);

  it('begins with one sentence', () => {
    expect(lines[0]).toMatch(/^[A-Z].*\.$/);
  });

  it('says what each symbol means', () => {
    const result = formula.type?.kind === 'record' ? formula.type.fields : [];
    const symbols = lines.slice(1).map(line => /^(\S+): \S/.exec(line)?.[1]);
    expect(symbols).toEqual([
      ...[...formula.parameters!, ...result].map(symbol => symbol.name),
      'Valid',
      'Source',
      ...examplesOf(formula).map(() => 'Example'),
    ]);
  });

  it('has types and an example', () => {
    expect(formula.type).not.toBeNull();
    expect(formula.parameters!.every(parameter => parameter.type !== null)).toBe(true);
    expect(examplesOf(formula).length).toBeGreaterThan(0);
  });
});
