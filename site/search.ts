/** The search of the site, in the browser as under test: exact names first, then whatever holds the words. */
import MiniSearch from 'minisearch';
import type { Entry } from './page.js';

/** What comes first of several things with one name; of the kinds that are not here, in between. */
const FIRST: ReadonlySet<string> = new Set(['block']);
/** Of these a name is one among many. */
const LAST: ReadonlySet<string> = new Set(['field', 'section', 'page', 'no unit']);
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
      .sort((a, b) => (a.rank === b.rank ? b.score - a.score : a.rank - b.rank))
      .slice(0, MOST)
      .map(({ entry }) => entry);
  };
}

/** By how much of the name is meant, then by kind. Capitals count: `mN` and `MN` are two units. */
function rankOf({ name, spellings = [], kind }: Entry, wanted: string): number {
  const lower = wanted.toLowerCase();
  const meant =
    name === wanted
      ? 0
      : spellings.includes(wanted)
        ? 1
        : [name, ...spellings].some(each => each.toLowerCase() === lower)
          ? 2
          : 3;
  return meant === 3 ? Infinity : 3 * meant + (FIRST.has(kind) ? 0 : LAST.has(kind) ? 2 : 1);
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
