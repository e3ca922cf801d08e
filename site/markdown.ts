/** Markdown of a page as HTML: anchors, links inside the site, code in colours, tables that fit a narrow window. */
import { Marked, type Tokens } from 'marked';
import type { Highlight } from './highlight.js';
import { escapeHtml, plainText } from './html.js';

export interface Section {
  readonly id: string;
  readonly title: string;
  readonly depth: number;
  readonly text: string;
}

export interface Rendered {
  readonly html: string;
  /** What stands before the first heading below the title comes first, without an id. */
  readonly sections: readonly Section[];
}

export interface LinkTarget {
  /** Where a relative link leads in the site, as seen from the page; null for nowhere in it. */
  link(href: string): string | null;
  picture(href: string): string;
}

export function renderMarkdown(markdown: string, highlight: Highlight, target: LinkTarget): Rendered {
  const ids = new Set<string>();
  const marked = new Marked({
    renderer: {
      heading({ tokens, depth }) {
        const inner = this.parser.parseInline(tokens);
        const [, html, given] = /^([\s\S]*?)(?:\s*\{#([^}\s]+)\})?$/.exec(inner)!;
        const id = unique(given ?? slug(plainText(html!)), ids);
        return depth === 1
          ? `<h1>${html}</h1>\n`
          : `<h${depth} id="${escapeHtml(id)}">${html} <a class="anchor" href="#${encodeURIComponent(id)}" aria-label="Link to this section">§</a></h${depth}>\n`;
      },
      link({ href, tokens }) {
        const text = this.parser.parseInline(tokens);
        // Nothing leads out of the site: an address is a text.
        if (/^[a-z]+:/.test(href)) return href === plainText(text) ? text : `${text} (${escapeHtml(href)})`;
        const url = target.link(href);
        return url === null ? text : `<a href="${escapeHtml(url)}">${text}</a>`;
      },
      image({ href, text }) {
        return `<img src="${escapeHtml(target.picture(href))}" alt="${escapeHtml(text)}" loading="lazy">`;
      },
      code({ text, lang = '' }) {
        const [language, file] = lang.split(' ');
        const caption = file ? `<figcaption><code>${escapeHtml(file)}</code></figcaption>` : '';
        const code = language === 'gusset' ? highlight(text) : escapeHtml(text);
        const name = language ? ` class="${escapeHtml(language)}"` : '';
        return `<figure class="code">${caption}<pre tabindex="0"${name}><code>${code}</code></pre></figure>\n`;
      },
      table(token: Tokens.Table) {
        const labels = token.header.map(cell => plainText(this.parser.parseInline(cell.tokens)));
        const head = token.header.map(cell =>
          cell.text === '' ? '<td></td>' : `<th role="columnheader">${this.parser.parseInline(cell.tokens)}</th>`,
        );
        const rows = token.rows.map(row => {
          const cells = row.map((cell, i) => {
            const label = labels[i] ? ` data-label="${escapeHtml(labels[i])}"` : '';
            return `<td role="cell"${label}>${this.parser.parseInline(cell.tokens)}</td>`;
          });
          return `<tr role="row">${cells.join('')}</tr>\n`;
        });
        const header = labels.some(Boolean)
          ? `<thead role="rowgroup"><tr role="row">${head.join('')}</tr></thead>\n`
          : '';
        return `<table role="table">\n${header}<tbody role="rowgroup">\n${rows.join('')}</tbody></table>\n`;
      },
    },
  });
  const html = marked.parse(markdown, { async: false });
  return { html, sections: sectionsOf(html) };
}

/** `Loads, cases, sweeps` → `loads-cases-sweeps`. */
export function slug(text: string): string {
  return text
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-+|-+$/g, '');
}

function unique(wanted: string, taken: Set<string>): string {
  let id = wanted;
  for (let n = 2; taken.has(id); n++) id = `${wanted}-${n}`;
  taken.add(id);
  return id;
}

function sectionsOf(html: string): Section[] {
  const parts = html.split(/(?=<h[2-6] id=")/);
  return parts.map(part => {
    const [, depth = '1', id = ''] = /^<h(\d) id="([^"]*)"/.exec(part) ?? [];
    const [, heading = ''] = /<h\d[^>]*>([\s\S]*?)(?: <a class="anchor"|<\/h\d>)/.exec(part) ?? [];
    return {
      id,
      title: plainText(heading),
      depth: Number(depth),
      text: plainText(part.replace(/<h\d[^>]*>[\s\S]*?<\/h\d>/, '')),
    };
  });
}
