import { describe, expect, test } from 'vitest';
import { isTyping, settledFindings } from '../../client/link/calm.js';

const finding = (code: string, line: number, message = code) => ({ code, message, range: { start: { line } } });

describe('while someone types', () => {
  test('a finding that was not there waits', () => {
    expect(settledFindings([finding('unknown-name', 3)], [finding('unknown-name', 3), finding('expected', 5)])).toEqual(
      [finding('unknown-name', 3)],
    );
    expect(settledFindings([], [finding('expected', 5)])).toEqual([]);
  });

  test('a finding that is mended goes', () => {
    expect(
      settledFindings([finding('unknown-name', 3), finding('thin-margin', 8)], [finding('thin-margin', 8)]),
    ).toEqual([finding('thin-margin', 8)]);
    expect(settledFindings([finding('unknown-name', 3)], [])).toEqual([]);
  });

  test('a finding that moved with the text stays, where it is now', () => {
    expect(
      settledFindings(
        [finding('thin-margin', 8, 'A passes with +0.02')],
        [finding('thin-margin', 9, 'A passes with +0.02')],
      ),
    ).toEqual([finding('thin-margin', 9, 'A passes with +0.02')]);
  });

  test('a finding whose numbers follow what is typed stays, in its new words', () => {
    expect(
      settledFindings([finding('failing-margin', 8, '23.1 MPa')], [finding('failing-margin', 8, '24.6 MPa')]),
    ).toEqual([finding('failing-margin', 8, '24.6 MPa')]);
  });

  test('another finding on the same line waits', () => {
    expect(settledFindings([finding('failing-margin', 8)], [finding('cannot-add', 8)])).toEqual([]);
  });

  test('codes with and without a link are the same', () => {
    const linked = { ...finding('thin-margin', 8), code: { value: 'thin-margin', target: 'somewhere' } };
    expect(settledFindings([finding('thin-margin', 2, 'thin-margin')], [linked])).toEqual([linked]);
  });
});

describe('a keystroke is', () => {
  const edit = (text: string, rangeLength = 0) => [{ text, rangeLength }];

  test.each([['a'], ['°'], ['𝜎'], ['\n'], ['\r\n    '], ['()'], ['""']])('%j', text => {
    expect(isTyping(edit(text))).toBe(true);
  });

  test('one character erased, or written over one', () => {
    expect(isTyping(edit('', 1)) && isTyping(edit('x', 1))).toBe(true);
  });

  test.each([
    ['a name', edit('width')],
    ['a word erased', edit('', 5)],
    ['a line pasted', edit('\nlet a = 2 mm')],
    ['two places at once', [...edit('a'), ...edit('a')]],
    ['nothing', []],
  ])('not %s', (_, edits) => {
    expect(isTyping(edits)).toBe(false);
  });
});
