/** The frame of every page: search, navigation, the page itself, and the caution at its foot. */
import { posix } from 'node:path';
import { escapeHtml } from './html.js';
import type { Rendered, Section } from './markdown.js';
import { GROUPS, type Page } from './page.js';

export const CAUTION =
  'Gusset is a check aid. It does not know your hardware: verify its results independently. Local codes, the launch authority and licensed practice decide.';

/** From so many sections on, a page begins with a list of them. */
const LISTED = 4;

export function layOut(page: Page, { html, sections }: Rendered, pages: readonly Page[]): string {
  const root = posix.relative(posix.dirname(page.path), '.') || '.';
  return `<!DOCTYPE html>
<html lang="en" data-root="${root}/">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${inline(page.title)} · Gusset</title>
<link rel="stylesheet" href="${root}/site.css">
<script defer src="${root}/site.js"></script>
</head>
<body>
<a class="skip" href="#content">To the page</a>
<header>
<a class="brand" href="${root}/index.html">Gusset</a>
<search>
<input id="search" type="search" role="combobox" aria-label="Search words, units, findings, formulas" aria-controls="found" aria-expanded="false" aria-autocomplete="list" autocomplete="off" spellcheck="false" placeholder="Search ( / )">
<div id="found" role="listbox" aria-label="Found" hidden></div>
<p id="search-said" class="unseen" role="status"></p>
</search>
</header>
<details class="pages" open>
<summary>Pages</summary>
<nav aria-label="Pages">
${navigation(page, pages)}
</nav>
</details>
<main id="content" tabindex="-1">
${withContents(html, sections)}
</main>
<footer>${escapeHtml(CAUTION)}</footer>
</body>
</html>
`;
}

function navigation(page: Page, pages: readonly Page[]): string {
  return GROUPS.map(group => {
    const links = pages
      .filter(other => other.group === group)
      .map(other => {
        const href = posix.relative(posix.dirname(page.path), other.path);
        const current = other === page ? ' aria-current="page"' : isAbove(other, page) ? ' aria-current="true"' : '';
        return `<li><a href="${escapeHtml(href)}"${current}>${inline(other.title)}</a></li>`;
      });
    return links.length === 0 ? '' : `<h2>${group}</h2>\n<ul>\n${links.join('\n')}\n</ul>`;
  })
    .filter(Boolean)
    .join('\n');
}

/** The list of a folder, for a page that is reached by it alone. */
function isAbove(list: Page, { path, group }: Page): boolean {
  return group === undefined && list.path === `${posix.dirname(path)}/index.html`;
}

/** A title as it stands in Markdown, without its marks. */
function inline(title: string): string {
  return escapeHtml(title.replaceAll('`', ''));
}

/** A page of few parts is listed with what is in them. */
function withContents(html: string, sections: readonly Section[]): string {
  const parts = sections.filter(({ depth, id }) => depth === 2 && id !== '');
  const listed = parts.length < LISTED ? sections.filter(({ id }) => id !== '') : parts;
  if (listed.length < LISTED) return html;
  const links = listed.map(
    ({ id, title, depth }) =>
      `<a${depth === 2 && listed !== parts ? ' class="part"' : ''} href="#${encodeURIComponent(id)}">${escapeHtml(title)}</a>`,
  );
  return html.replace('</h1>', `</h1>\n<nav class="contents" aria-label="On this page">${links.join(' ')}</nav>`);
}
