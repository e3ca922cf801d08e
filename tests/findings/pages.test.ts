import { describe, expect, test } from 'vitest';
import { RULES } from '../../server/findings/index.js';
import { findingPages } from '../../server/findings/generated/pages.js';
import { codesOf, findingsOf, readPage } from './project.js';

const pages = findingPages.map(({ path, text }) => ({
  code: path.replace(/^.*\/|\.md$/g, ''),
  text,
  ...readPage(text),
}));

/** What no short example can show. */
const WITHOUT_EXAMPLE = new Set([
  'expression-too-deep',
  'only-a-type',
  'unit-without-number',
  'cannot-repeat',
  'defect',
  'file-spelling',
  'too-much-in-all',
  'unreadable-file',
  'worst-case-not-bounded',
]);

test('every rule has a page, and every page a rule', () => {
  expect(pages.map(page => page.code).sort()).toEqual([...RULES.keys()].sort());
});

test('a page without an example is one that can have none', () => {
  expect(
    pages
      .filter(page => !page.wrong)
      .map(page => page.code)
      .filter(code => !WITHOUT_EXAMPLE.has(code)),
  ).toEqual([]);
});

describe.each(pages.filter(page => page.wrong))('$code', ({ code, text, severity, wrong, right }) => {
  test('has a title, a paragraph and a severity', () => {
    expect(text).toMatch(/^# \S.*\n\n\S/);
    expect(severity).toBe(RULES.get(code)!.severity);
  });
  test('the wrong example shows it', () => {
    const findings = findingsOf(wrong!);
    const shown = findings.find(
      finding => finding.code === code || (finding.code === 'undetermined' && finding.found.data['cause'] === code),
    );
    expect(shown, findings.map(finding => `${finding.code}: ${finding.message}`).join('\n')).toBeDefined();
    if (shown!.code === code) expect(shown!.severity).toBe(severity);
  });
  test('the right example does not', () => {
    expect(codesOf(right!)).not.toContain(code);
  });
  test('neither shows a code without a rule, or a message with gaps', () => {
    for (const finding of [...findingsOf(wrong!), ...findingsOf(right!)]) {
      expect(RULES.has(finding.code), finding.code).toBe(true);
      expect(finding.message).not.toMatch(/undefined|\{\w+\}|\bnull\b/);
    }
  });
});
