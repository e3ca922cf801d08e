import { describe, expect, test } from 'vitest';
import type { CodeAction } from 'vscode-languageserver-types';
import codeActions from '../../server/features/catalogue/code-actions.js';
import type { FeatureContext } from '../../server/features/feature.js';
import { Lines } from '../../server/features/lines.js';
import { RULES } from '../../server/findings/index.js';
import { findingPages } from '../../server/findings/generated/pages.js';
import { codesOf, open, readPage, type Files } from './project.js';

const FILE = 'example.gus';

/** The quick fixes offered at the place of a finding, and the text after the first of them. */
function fixed(files: Files, code: string): { readonly actions: readonly CodeAction[]; readonly text: string } {
  const project = open(files);
  const text = files[FILE]!;
  const lines = new Lines(text);
  const finding = project.findings(FILE).find(candidate => candidate.code === code)!;
  const context = { project, file: FILE, text, lines, uri: (file: string) => file, linesOf: () => lines } as unknown as FeatureContext;
  const range = { start: lines.position(finding.start), end: lines.position(finding.end) };
  const actions = (codeActions.handle(context, { range, context: {} } as never) as CodeAction[]).filter(action => action.diagnostics![0]!.code === code);
  let result = text;
  for (const edit of [...actions[0]?.edit?.changes?.[FILE] ?? []].reverse()) result = result.slice(0, lines.offset(edit.range.start)) + edit.newText + result.slice(lines.offset(edit.range.end));
  return { actions, text: result };
}

const fixable = findingPages.flatMap(({ path, text }) => {
  const code = path.replace(/\.md$/, '');
  const { wrong } = readPage(text);
  return RULES.get(code)?.fix && wrong ? [{ code, wrong }] : [];
});

describe.each(fixable)('$code', ({ code, wrong }) => {
  test('the quick fix mends the wrong example and breaks nothing', () => {
    const { actions, text } = fixed(wrong, code);
    expect(actions).toHaveLength(1);
    const codes = codesOf({ ...wrong, [FILE]: text });
    expect(codes, text).not.toContain(code);
    expect(codes, text).not.toContain('syntax');
  });
});

test('a statement is added in the layout of its block', () => {
  const block = 'requirement R-1 "It shall hold." {\n  check 3 N <= 4 N\n}\n';
  expect(fixed({ [FILE]: block }, 'requirement-without-method').text).toBe('requirement R-1 "It shall hold." {\n  check 3 N <= 4 N\n  verify by analysis\n}\n');
  expect(fixed({ [FILE]: 'requirement R-1 "It shall hold." { check 3 N <= 4 N }\n' }, 'requirement-without-method').text).toBe('requirement R-1 "It shall hold." { check 3 N <= 4 N   verify by analysis }\n');
  expect(fixed({ [FILE]: 'requirement R-1 "It shall hold."\n' }, 'requirement-without-method').text).toBe('requirement R-1 "It shall hold." { verify by analysis }\n');
});

test('only quick fixes are offered when other kinds are asked for', () => {
  const project = open({ [FILE]: 'let a = 1\nlet b = aa\n' });
  const lines = new Lines('let a = 1\nlet b = aa\n');
  const context = { project, file: FILE, text: 'let a = 1\nlet b = aa\n', lines, uri: (file: string) => file, linesOf: () => lines } as unknown as FeatureContext;
  const range = { start: { line: 0, character: 0 }, end: { line: 2, character: 0 } };
  expect(codeActions.handle(context, { range, context: { only: ['refactor'] } } as never)).toEqual([]);
});
