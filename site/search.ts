/** The search of the site, in the browser as under test: exact names first, then whatever holds the words. */
import MiniSearch from 'minisearch';
import type { Entry } from './page.js';

/** Kinds of which a name is one among many, and that come behind others of the same name. */
const LESSER: ReadonlySet<string> = new Set(['field', 'section', 'page', 'no unit']);
const MOST = 40;

export type Search = (query: string) => readonly Entry[];

export function createSearch(entries: readonly Entry[]): Search {
  const index = new MiniSearch<Entry & { id: number }>({
    fields: ['name', 'title', 'text'],
    extractField: (entry, field) =>
      field === 'name'
        ? [entry.name, ...(entry.spellings ?? [])].join(' ')
        : String(entry[field as keyof typeof entry]),
    tokenize,
    searchOptions: {
      boost: { name: 6, title: 3 },
      prefix: true,
      fuzzy: term => (term.length > 4 ? 0.2 : false),
      combineWith: 'AND',
    },
  });
  index.addAll(entries.map((entry, id) => ({ ...entry, id })));
  return query => {
    const wanted = query.trim();
    if (wanted === '') return [];
    const strict = index.search(wanted);
    const found = (strict.length > 0 ? strict : index.search(wanted, { combineWith: 'OR' })).map(({ id, score }) => ({
      entry: entries[id as number]!,
      score,
    }));
    return found
      .map(({ entry, score }) => ({ entry, score, rank: rankOf(entry, wanted) }))
      .sort((a, b) => a.rank - b.rank || b.score - a.score)
      .slice(0, MOST)
      .map(({ entry }) => entry);
  };
}

/** Capitals count: `mN` and `MN` are two units. */
function rankOf({ name, spellings = [], kind }: Entry, wanted: string): number {
  const lesser = LESSER.has(kind) ? 1 : 0;
  if (name === wanted) return lesser;
  if (spellings.includes(wanted)) return 2 + lesser;
  const lower = wanted.toLowerCase();
  return [name, ...spellings].some(each => each.toLowerCase() === lower) ? 4 + lesser : 6;
}

/** Whatever stands between spaces as it is, and its letters and digits: `thin-margin`, `N*m`, `%`. */
function tokenize(text: string): string[] {
  return text
    .split(/\s+/)
    .flatMap(part => {
      const words = part.split(/[^\p{L}\p{N}_]+/u).filter(Boolean);
      return words.length === 1 && words[0] === part ? words : [part.replace(/[.,;:)]+$/, ''), ...words];
    })
    .filter(Boolean);
}
