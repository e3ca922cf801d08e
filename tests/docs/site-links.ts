/** Links of pages that lead nowhere, or out of the site. */
import { posix } from 'node:path';

/** `others`: files beside those given, which are written by other hands. */
export function brokenLinks(files: ReadonlyMap<string, unknown>, others: readonly string[] = []): string[] {
  const ids = new Map(
    [...files].flatMap(([path, content]) => (path.endsWith('.html') ? [[path, idsOf(String(content))] as const] : [])),
  );
  return [...ids.keys()].flatMap(path =>
    linksOf(String(files.get(path))).flatMap(link => {
      const problem = problemWith(link, path);
      return problem === null ? [] : [`${path}: ${link} ${problem}`];
    }),
  );

  function problemWith(link: string, path: string): string | null {
    if (/^[a-z]+:|^\/\//i.test(link)) return 'leads out of the site';
    const [file = '', fragment] = link.split('#');
    const target = file === '' ? path : posix.join(posix.dirname(path), decodeURIComponent(file));
    if (!files.has(target) && !others.includes(target)) return 'leads to no file';
    if (fragment === undefined) return null;
    return ids.get(target)?.has(decodeURIComponent(fragment)) ? null : 'leads to no place in its page';
  }
}

/** Ids that stand twice in a page. */
export function repeatedIds(html: string): string[] {
  const all = [...html.matchAll(ID)].map(([, id]) => unescape(id!));
  return all.filter((id, i) => all.indexOf(id) !== i);
}

const ID = /<[a-z][^>]*\sid="([^"]*)"/g;

function idsOf(html: string): Set<string> {
  return new Set([...html.matchAll(ID)].map(([, id]) => unescape(id!)));
}

function linksOf(html: string): string[] {
  return [...html.matchAll(/<[a-z][^>]*\s(?:href|src)="([^"]*)"/g)].map(([, link]) => unescape(link!));
}

function unescape(text: string): string {
  return text.replace(/&quot;/g, '"').replace(/&#(\d+);/g, (_, code: string) => String.fromCodePoint(Number(code)));
}
