import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { displayWidth, layoutTable, wrap } from '../../server/reports/table.js';

const word = fc.string({ unit: fc.constantFrom('a', 'b', '.', 'é', '界'), minLength: 1, maxLength: 30 });
const cell = fc
  .tuple(fc.constantFrom('', '  ', '          '), fc.array(word, { maxLength: 6 }))
  .map(([indent, words]) => ({ text: indent + words.join(' ') }));
const rows = fc.array(fc.tuple(cell, cell, cell), { minLength: 1, maxLength: 5 });
const columns = [{ title: 'Part' }, { title: 'Margin', align: 'right' as const }, { title: 'Why' }];
const characters = (texts: readonly string[]) => [...texts.join('').replace(/[\s-]/g, '')].sort().join('');

describe('layoutTable', () => {
  it('fits its width and keeps every character', () => {
    fc.assert(
      fc.property(rows, fc.integer({ min: 16, max: 120 }), (table, width) => {
        const printed = layoutTable(columns, table, width);
        expect(Math.max(...printed.map(displayWidth))).toBeLessThanOrEqual(width);
        expect(characters(printed)).toBe(
          characters([...columns.map(column => column.title), ...table.flat().map(each => each.text)]),
        );
      }),
    );
  });

  it('keeps a number and its unit, and a comparison and its number, on one line', () => {
    const quantity = fc
      .tuple(
        fc.constantFrom('', '<= ', '>= '),
        fc.constantFrom('0.00025', '-3', '1.2e-5'),
        fc.constantFrom('rad', '%', '°C', 'N*m'),
      )
      .map(([sign, number, unit]) => `${sign}${number} ${unit}`);
    const quantities = fc.array(quantity, { minLength: 1, maxLength: 5 });
    fc.assert(
      fc.property(
        fc.array(fc.tuple(quantities, quantities), { minLength: 1 }),
        fc.integer({ min: 40, max: 80 }),
        (table, width) => {
          const cells = table.map(row => row.map(each => ({ text: each.join(' and ') })));
          const printed = layoutTable([{ title: 'Applied' }, { title: 'Allowable' }], cells, width).join('\n');
          for (const each of table.flat(2)) expect(printed).toContain(each);
        },
      ),
    );
  });

  it('breaks dotted names behind a dot before it breaks any word', () => {
    const printed = layoutTable(
      [{ title: 'Part' }, { title: 'Mode' }],
      [[{ text: 'Bus.StarTracker.StBracket' }, { text: 'delamination' }]],
      27,
    );
    expect(printed.slice(2)).toEqual(['Bus.           delamination', 'StarTracker.', 'StBracket']);
  });

  it('keeps indents and breaks long names behind a dot', () => {
    expect(layoutTable([{ title: 'Part' }], [[{ text: '  Bus.BatteryTray' }]], 14)).toEqual([
      'Part',
      '-'.repeat(14),
      '  Bus.',
      'BatteryTray',
    ]);
  });

  it('paints what it prints and nothing else', () => {
    const paint = (printed: string) => `<${printed}>`;
    expect(layoutTable([{ title: 'Status' }], [[{ text: 'no', paint }]], 20)[2]).toBe('<no>');
  });
});

describe('wrap', () => {
  it.each([
    ['one two', 7, ['one two']],
    ['one two', 6, ['one', 'two']],
    ['', 5, ['']],
    ['abcdefgh', 3, ['abc', 'def', 'gh']],
    ['first\nsecond line', 8, ['first', 'second', 'line']],
  ])('%j in %d', (text, width, lines) => {
    expect(wrap(text, width)).toEqual(lines);
  });
});
