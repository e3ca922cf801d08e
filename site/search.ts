/** The search of the site, in the browser as under test: exact names first, then whatever holds the words. */
import MiniSearch from 'minisearch';
import type { Entry } from './page.js';

/** What comes first of several things with one name; of the kinds that are not here, in between. */
const FIRST: ReadonlySet<string> = new Set(['block']);
/** Of these a name is one among many. */
const LAST: ReadonlySet<string> = new Set(['field', 'section', 'page', 'background', 'no unit']);
/** How much of their weight things have of which an engineer who calculates seldom asks. */
const WEIGHTS: Readonly<Record<string, number>> = { background: 0.25, 'no unit': 0.5, field: 0.7 };
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
      boostDocument: id => WEIGHTS[entries[id as number]!.kind] ?? 1,
    },
  });
  index.addAll(entries.map((entry, id) => ({ ...entry, id })));
  return query => {
    const wanted = query.trim();
    if (wanted === '') return [];
    // What holds all words, then what holds some; the sort is stable.
    const all = index.search(wanted, { combineWith: 'AND' }).map(({ id }) => id as number);
    const some = index.search(wanted).map(({ id }) => id as number);
    return [...new Set([...all, ...some])]
      .map(id => ({ entry: entries[id]!, rank: rankOf(entries[id]!, wanted) }))
      .sort((a, b) => (a.rank === b.rank ? 0 : a.rank - b.rank))
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

/** Whatever stands between spaces as it is, and the words in it: `thin-margin`, `bending_stress`, `N*m`, `%`. */
function tokenize(text: string): string[] {
  return text
    .split(/\s+/)
    .flatMap(part => {
      const words = part.split(/[^\p{L}\p{N}]+/u).filter(Boolean);
      return words.length === 1 && words[0] === part ? words : [part.replace(/[.,;:)]+$/, ''), ...words];
    })
    .filter(Boolean);
}
