import { readFileSync, readdirSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formatEdits, formatText } from '../../server/syntax/formatter.js';
import { tokenize } from '../../server/syntax/parser.js';
import { split } from '../../server/syntax/splitter.js';
import { canonicalUnitText } from '../../server/units/index.js';

const folders = ['fixtures/', '../../server/library/'].map(folder => new URL(folder, import.meta.url));
const texts = folders.flatMap(folder =>
  readdirSync(folder)
    .filter(name => name.endsWith('.gus'))
    .map(name => readFileSync(new URL(name, folder), 'utf8')),
);

/** What a text means to the parser: tokens without the spellings that the formatter settles, and comments. */
function contentOf(text: string): { tokens: string[]; comments: string[] } {
  const pieces = split(text).map(piece => tokenize(piece.text));
  return {
    tokens: pieces.flatMap(piece =>
      piece.tokens.map(
        ({ tokenType: { name }, image }) =>
          `${name} ${name === 'UNIT' || name === 'TOLERANCE' ? canonicalUnitText(image).replaceAll(/\s/g, '') : image}`,
      ),
    ),
    comments: pieces.flatMap(piece => piece.comments.map(comment => comment.text.trimEnd())),
  };
}

/** The text with each gap between tokens or comments that `widen` is asked about replaced. */
function withGaps(text: string, widen: (gap: string, before: string, behind: string) => string): string {
  const { tokens, comments } = tokenize(text);
  const places = [...tokens.map(token => ({ start: token.startOffset, end: token.endOffset! + 1 })), ...comments].sort(
    (a, b) => a.start - b.start,
  );
  let result = '';
  let end = 0;
  for (const place of places) {
    result +=
      widen(text.slice(end, place.start), text[end - 1] ?? '', text[place.start]!) + text.slice(place.start, place.end);
    end = place.end;
  }
  return result + widen(text.slice(end), text[end - 1] ?? '', '');
}

const snippets = [
  '{',
  '}',
  '(',
  ')',
  '[',
  ']',
  '"',
  ' ',
  '\n',
  '\r\n',
  '//',
  '///',
  '/*',
  '*/',
  ',',
  '=',
  '->',
  '-',
  '²',
  ' mm',
  '\n\n\n',
  '\t',
  ':',
  ' source "x"',
  '±',
  '\npart X {',
  '.',
  '1',
  'a',
  '#',
  '^',
  '\uFEFF',
];
const edits = fc.array(
  fc.record({
    at: fc.double({ min: 0, max: 1, noNaN: true }),
    removed: fc.nat(4),
    added: fc.constantFrom('', ...snippets),
  }),
  { maxLength: 4 },
);

/** A stretch of lines of one of the texts, with a few random edits. */
const edited = fc
  .tuple(fc.constantFrom(...texts), fc.double({ min: 0, max: 1, noNaN: true }), fc.integer({ min: 1, max: 40 }), edits)
  .map(([text, from, count, changes]) => {
    const lines = text.split('\n');
    const first = Math.floor(from * lines.length);
    return changes.reduce(
      (result, { at, removed, added }) => {
        const offset = Math.floor(at * result.length);
        return result.slice(0, offset) + added + result.slice(offset + removed);
      },
      lines.slice(first, first + count).join('\n'),
    );
  });

describe('line ends', () => {
  it('stay those of Windows where all are, and become plain where they are mixed', () => {
    expect(formatText('part A {\r\nx = 1\r\n}\r\n')).toBe('part A {\r\n  x = 1\r\n}\r\n');
    expect(formatText('\uFEFF \uFEFFlet a = 1\n')).toBe('let a = 1\n');
    expect(formatText('\r\npart A {\nx = 1\n}\n')).toBe('part A {\n  x = 1\n}\n');
  });
});

describe('on any text', () => {
  it('formatting again changes nothing', () => {
    fc.assert(
      fc.property(edited, text => {
        const formatted = formatText(text);
        expect(formatText(formatted)).toBe(formatted);
      }),
      { numRuns: 300 },
    );
  });

  it('byte-order marks before it are left out, however many', () => {
    for (const marks of ['\uFEFF', '\uFEFF\uFEFF', ' \uFEFF\n\uFEFF'])
      expect(formatText(`${marks}part A {}`)).toBe(formatText('part A {}'));
  });

  it('tokens and comments stay', () => {
    fc.assert(
      fc.property(edited, text => {
        expect(contentOf(formatText(text))).toEqual(contentOf(text));
      }),
      { numRuns: 300 },
    );
  });

  it('edits are sorted and disjoint, and change something', () => {
    fc.assert(
      fc.property(edited, text => {
        let end = -1;
        for (const edit of formatEdits(text)) {
          expect(edit.start).toBeGreaterThan(end);
          expect(text.slice(edit.start, edit.end)).not.toBe(edit.text);
          end = edit.end;
        }
      }),
      { numRuns: 300 },
    );
  });
});

describe('one layout', () => {
  it('whatever the spaces were', () => {
    const spaces = fc.infiniteStream(fc.constantFrom(' ', '  ', '     ', '\t'));
    fc.assert(
      fc.property(fc.constantFrom(...texts), spaces, (text, stream) => {
        const formatted = formatText(text);
        const space = (): string => stream.next().value!;
        const untidy = withGaps(formatted, (gap, before, behind) => {
          if (gap.includes('\n')) return `${space()}${gap.replaceAll('\n', `${space()}\n`)}${space()}`;
          return gap !== '' || '([,'.includes(before) || ')],'.includes(behind) ? space() : '';
        });
        expect(formatText(untidy)).toBe(formatted);
      }),
      { numRuns: 50 },
    );
  });
});
