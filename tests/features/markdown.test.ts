/** Texts of a project are data in what editors show as Markdown: no picture, link or HTML comes out of them. */
import { marked, type Token } from 'marked';
import { expect, test } from 'vitest';
import { codeBlock, codeSpan, table, words } from '../../server/features/markdown.js';
import { call, contextOf, FEATURES, paramsAt } from '../support/features.js';
import { openTexts } from '../support/fixture.js';

const HOSTILE = [
  '![x](https://example.invalid/a.png)',
  '[x](command:gusset.restartServer)',
  '<img src=https://example.invalid/b.png>',
  '<https://example.invalid/c>',
  'https://example.invalid/d',
  'www.example.invalid',
  'mail@example.invalid',
  '[x]: https://example.invalid/e "y"',
  '&lt;b&gt; <b>bold</b>',
  'a ``` ![x](https://example.invalid/f.png)',
  '`` ![x](https://example.invalid/g.png)',
  '\\\\| ![x](https://example.invalid/h.png) | y',
  '*/ *a* **b** _c_ ~~d~~ # e',
];

/** Everything in the text that is more than words and their layout. */
function markup(markdown: string): string[] {
  const found: string[] = [];
  marked.walkTokens(marked.lexer(markdown, { gfm: true }), (token: Token) => {
    const isOurs =
      token.type === 'link' && /#L\d+$/.test(token.href as string) && !/[:]\/\//.test(token.href as string);
    if (['image', 'link', 'html', 'def', 'heading', 'list', 'del', 'em'].includes(token.type) && !isOurs)
      found.push(`${token.type}: ${token.raw}`);
  });
  return found;
}

test('the texts are markup where nothing is done about it', () => {
  expect(HOSTILE.filter(text => markup(text).length === 0)).toEqual([]);
});

/** What a reader sees. */
function seen(markdown: string): string {
  return marked
    .parseInline(markdown, { async: false })
    .replace(/<br>/g, '\n')
    .replace(/&#(\d+);/g, (_, code: string) => String.fromCharCode(Number(code)))
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&quot;', '"')
    .replaceAll('&amp;', '&');
}

test.each([...HOSTILE, '# a', '- a', '+ a', '1. a', '12) a', '=== a', '---', '> a', 'a_b _c_', '$(bug) |x|'])(
  'words are what they were: %s',
  text => {
    expect(markup(words(text))).toEqual([]);
    expect(markup(words(`first\n${text}`))).toEqual([]);
    expect(seen(words(text))).toBe(text);
  },
);

test.each(['+0.33', '-0.06', '176.5 N', '2 mm'])('%s needs no mark of being a text', text => {
  expect(words(text)).toBe(text);
  expect(markup(words(`first\n${text}`))).toEqual([]);
});

test.each([...HOSTILE, '`', '``', '` a', 'a `', '|', '\\|', '\\\\|', '\\\\\\|'])(
  'nothing gets out of code: %s',
  text => {
    for (const markdown of [codeSpan(text), codeBlock(text), table(['a', 'b'], [[codeSpan(text), words(text)]])])
      expect(markup(markdown)).toEqual([]);
    expect(marked.lexer(table(['a', 'b'], [[codeSpan(text), words(text)]]))[0]).toMatchObject({
      type: 'table',
      rows: [[{ tokens: [{ type: 'codespan' }] }, {}]],
    });
  },
);

test('no feature shows a text of the project as markup', async () => {
  const quoted = HOSTILE.map(text => text.replaceAll('\\', '\\\\').replaceAll('"', '\\"').replaceAll('{', '\\{'));
  const project = openTexts({
    'a.gus': quoted
      .map(
        (text, i) => `/// ${HOSTILE[i]}
document D${i} "${text}" { revision = "${text}" }
/// ${HOSTILE[i]}
load L${i} "${text}" { axial = 1 N .. 2 N   source = D${i} "${text}" }
/// ${HOSTILE[i]}
/// a: ${HOSTILE[i]}
formula f${i}(a: length): length = a * 2   requires a > 0 mm
/// ${HOSTILE[i]}
part P${i} "${text}" {
  /// ${HOSTILE[i]}
  t = 3 mm ± 0.1 mm source "${text}" tbc
  s = "${text}"
  u = if s == "${text}" then f${i}(t) else f${i}(2 * t)
  /// ${HOSTILE[i]}
  requirement R-${i} "It shall hold ${text}." {
    check "${text}" for L in [L${i}]: L.axial <= 3 N
    check strength: t <= u
    verify by analysis, test on X${i}
    rationale "${text}"
  }
}
waiver W-${i} for R-${i} { accepts margin >= -1   reason = "${text}"   approved = "${text}" }
evidence E-${i} for R-${i} "${text}" { method = test   report = file("${i}.csv")   result = pass   date = 2027-01-01 }
`,
      )
      .join('\n'),
  });
  const context = contextOf(project, 'a.gus');
  const told = new Set<string>();
  const collect = (value: unknown): void => {
    if (typeof value !== 'object' || value === null) return;
    if ('kind' in value && value.kind === 'markdown' && 'value' in value) told.add(String(value.value));
    for (const each of Object.values(value)) collect(each);
  };
  const methods = FEATURES.map(({ method }) => method).filter(method =>
    /hover|signatureHelp|completion$|codeLens$/.test(method),
  );
  for (let offset = 0; offset < context.text.length; offset += 5) {
    const position = context.lines.position(offset);
    for (const method of methods) {
      const answer = (await call(method, context, paramsAt(context, method, position, position))) as {
        items?: object[];
      } | null;
      collect(answer);
      if (method.endsWith('completion') && offset % 50 === 0)
        for (const item of answer?.items?.slice(0, 40) ?? [])
          collect(await call('completionItem/resolve', context, item));
    }
  }
  expect(told.size).toBeGreaterThan(100);
  expect([...told].flatMap(markdown => markup(markdown).filter(each => !each.startsWith('list')))).toEqual([]);
});
