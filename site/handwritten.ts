/** Pages that people write: README, and every page below `docs/`. */
import { readdirSync, readFileSync } from 'node:fs';
import { join, posix, relative, sep } from 'node:path';
import { RULES } from '../server/findings/index.js';
import type { Entry, Group, Page } from './page.js';

/** Pages beside `docs/`, and where they lie in the site. */
const OTHERS: readonly (readonly [source: string, path: string])[] = [
  ['README.md', 'index.html'],
  ['DEVELOPERS.md', 'developers.html'],
  ['CHANGELOG.md', 'changelog.html'],
];
/** What comes first in its group; the others follow by their names. */
const FIRST = [
  'README.md',
  'docs/tutorial.md',
  'docs/how-to/README.md',
  'docs/language.md',
  'docs/editors/README.md',
  'docs/editors/vscode.md',
  'docs/architecture.md',
];
const GROUP_OF: readonly (readonly [source: RegExp, group: Group | undefined])[] = [
  [/^docs\/findings\//, undefined],
  [/^docs\/how-to\//, 'How to'],
  [/^docs\/decisions\/\d/, undefined],
  [/^docs\/(editors\/|language-features)/, 'In editors'],
  [/^docs\/json\//, 'For machines'],
  [/^(docs\/(architecture|decisions\/)|DEVELOPERS|CHANGELOG)/, 'How it is built'],
];
/** Lists of folders; one without a group is reached by links alone. */
const LISTS: readonly (readonly [folder: string, group: Group | undefined, title: string, lead: string])[] = [
  ['docs/decisions', 'How it is built', 'Decisions', 'What was decided while Gusset was built, and why.'],
  ['docs/how-to', undefined, 'How to', 'One task a page.'],
];

export function handwrittenPages(root: string): Page[] {
  const sources = readdirSync(join(root, 'docs'), { recursive: true, withFileTypes: true })
    .filter(entry => entry.isFile() && entry.name.endsWith('.md'))
    .map(entry => relative(root, join(entry.parentPath, entry.name)).replaceAll(sep, '/'));
  const all = [...OTHERS, ...sources.map(source => [source, pathOf(source)] as const)];
  const pages = all
    .sort(([a], [b]) => placeOf(a) - placeOf(b) || (a < b ? -1 : 1))
    .map(([source, path]) => pageOf(root, source, path));
  return [...pages, ...LISTS.flatMap(list => listPage(pages, ...list))];
}

function placeOf(source: string): number {
  const place = FIRST.indexOf(source);
  return place < 0 ? FIRST.length : place;
}

/** `docs/editors/README.md` → `editors/index.html`. */
function pathOf(source: string): string {
  return posix
    .relative('docs', source)
    .replace(/README\.md$/, 'index.md')
    .replace(/\.md$/, '.html');
}

function pageOf(root: string, source: string, path: string): Page {
  const markdown = readFileSync(join(root, source), 'utf8');
  const title = /^# (.*)$/m.exec(markdown)?.[1] ?? source;
  const found = GROUP_OF.find(([pattern]) => pattern.test(source));
  const group = found ? found[1] : 'Begin';
  const finding = RULES.get(posix.basename(source, '.md'));
  const code = finding && source.startsWith('docs/findings/') ? finding.code : undefined;
  return {
    path,
    source,
    title: source === 'README.md' ? 'Overview' : title,
    ...(group ? { group } : {}),
    markdown: code
      ? markdown.replace(
          /^# .*$/m,
          heading => `${heading}\n\n\`${code}\` · ${finding!.severity} · [all findings](../README.md)`,
        )
      : markdown,
    ...(code ? { entries: [findingEntry(code, title, markdown, path)] } : {}),
  };
}

function findingEntry(code: string, title: string, markdown: string, url: string): Entry {
  const text = markdown
    .replace(/^```[\s\S]*?^```$|^#.*$/gm, ' ')
    .replace(/[`*]/g, '')
    .replace(/\s+/g, ' ')
    .trim();
  return { name: code, kind: 'finding', title, url, text };
}

/** A page that lists those of a folder that has none of its own. */
function listPage(
  pages: readonly Page[],
  folder: string,
  group: Group | undefined,
  title: string,
  lead: string,
): Page[] {
  const listed = pages.filter(({ source }) => posix.dirname(source) === folder);
  if (listed.length === 0 || listed.some(({ source }) => source.endsWith('/README.md'))) return [];
  const items = listed.map(page => `- [${page.title}](${posix.basename(page.source)})`).sort();
  return [
    {
      path: pathOf(`${folder}/README.md`),
      source: `${folder}/README.md`,
      title,
      ...(group ? { group } : {}),
      markdown: `# ${title}\n\n${lead}\n\n${items.join('\n')}\n`,
      entries: [],
    },
  ];
}
