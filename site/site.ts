/** The documentation as a site: every page, what they show, and what the search knows, as files by their paths. */
import { existsSync, readFileSync, statSync } from 'node:fs';
import { join, posix } from 'node:path';
import { handwrittenPages } from './handwritten.js';
import { createHighlight } from './highlight.js';
import { layOut } from './layout.js';
import { renderMarkdown, type LinkTarget, type Rendered } from './markdown.js';
import type { Entry, Page } from './page.js';
import { blocksPage } from './reference/blocks.js';
import { findingsPage } from './reference/findings.js';
import { formulaPages } from './reference/formulas.js';
import { functionsPage } from './reference/functions.js';
import { dimensionsPage, unitsPage } from './reference/units.js';
import { wordPages } from './reference/words.js';

export interface Site {
  readonly files: ReadonlyMap<string, string | Uint8Array>;
  readonly entries: readonly Entry[];
}

/** Letters of a page's beginning that the search shows. */
const LEAD = 120;
/** Files of the project that a page may show as they are. */
const SHOWN = /\.(gus|json)$/;

/** `root`: the folder of the project. What scripts and styles hold is added by whoever writes the files. */
export async function buildSite(root: string): Promise<Site> {
  const highlight = await createHighlight(join(root, 'grammar/gusset.tmLanguage.json'));
  const pages = [
    ...handwrittenPages(root),
    blocksPage(),
    ...wordPages(),
    functionsPage(),
    dimensionsPage(),
    unitsPage(),
    findingsPage(),
    ...formulaPages(),
  ];
  const files = new Map<string, string | Uint8Array>();
  const target = new Targets(root, pages);
  const entries: Entry[] = [];
  const render = (page: Page): void => {
    const rendered = renderMarkdown(page.markdown, highlight, target.from(page));
    files.set(page.path, layOut(page, rendered, pages));
    entries.push(...(page.entries ?? sectionEntries(page, rendered)));
  };
  pages.forEach(render);
  for (const page of target.shown.values()) render(page);
  for (const picture of target.pictures)
    files.set(sitePath(picture), new Uint8Array(readFileSync(join(root, picture))));
  files.set('search-entries.js', `searchEntries = ${JSON.stringify(entries)};\n`);
  return { files, entries };
}

/** `docs/images/views.png` → `images/views.png`. */
function sitePath(source: string): string {
  return source.replace(/^docs\//, '');
}

/** Where links of pages lead, and what else has to be in the site for that. */
class Targets {
  readonly pictures = new Set<string>();
  /** Pages of the files that are shown as they are, by their path in the project. */
  readonly shown = new Map<string, Page>();
  private readonly bySource: ReadonlyMap<string, string>;

  constructor(
    private readonly root: string,
    pages: readonly Page[],
  ) {
    this.bySource = new Map(pages.map(({ source, path }) => [source, path]));
  }

  from(page: Page): LinkTarget {
    const here = posix.dirname(page.path);
    const fileOf = (href: string): string => posix.join(posix.dirname(page.source), decodeURIComponent(href));
    return {
      link: href => {
        const [file = '', fragment] = href.split('#');
        const path = file === '' ? page.path : this.pathOf(fileOf(file).replace(/\/$/, ''));
        if (path === null) return null;
        const relative = file === '' ? '' : posix.relative(here, path);
        return fragment === undefined ? relative : `${relative}#${fragment}`;
      },
      picture: href => {
        const picture = fileOf(href);
        this.pictures.add(picture);
        return posix.relative(here, sitePath(picture));
      },
    };
  }

  private pathOf(source: string): string | null {
    const known = this.bySource.get(source) ?? this.bySource.get(`${source}/README.md`);
    if (known !== undefined) return known;
    const folder = [...this.bySource].find(([page]) => posix.dirname(page) === source);
    if (folder) return folder[1];
    if (!SHOWN.test(source) || !existsSync(join(this.root, source)) || !statSync(join(this.root, source)).isFile())
      return null;
    if (!this.shown.has(source)) this.shown.set(source, sourcePage(this.root, source));
    return this.shown.get(source)!.path;
  }
}

/** A file as it is. */
function sourcePage(root: string, source: string): Page {
  const language = source.endsWith('.gus') ? 'gusset' : 'json';
  const text = readFileSync(join(root, source), 'utf8').trimEnd();
  const name = posix.basename(source);
  return {
    path: `${sitePath(source)}.html`,
    source,
    title: name,
    markdown: `# ${name}\n\n\`${source}\`\n\n~~~~${language}\n${text}\n~~~~\n`,
    entries: [],
  };
}

function sectionEntries({ path, title, source, group }: Page, { sections }: Rendered): Entry[] {
  const isBackground = group === 'How it is built' || source.startsWith('docs/decisions/');
  return sections.map((section, i) => ({
    name: i === 0 ? title : section.title,
    kind: isBackground ? 'background' : i === 0 ? 'page' : 'section',
    title: i === 0 ? section.text.slice(0, LEAD) : title,
    url: section.id === '' ? path : `${path}#${encodeURIComponent(section.id)}`,
    text: section.text,
  }));
}
