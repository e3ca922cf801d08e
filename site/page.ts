/** What a page of the site is before it is laid out. */

/** Something that the search finds. */
export interface Entry {
  /** What it is called where it is written: a word, a code, a symbol. */
  readonly name: string;
  /** Other spellings of the name. */
  readonly spellings?: readonly string[];
  readonly kind: string;
  readonly title: string;
  /** Of the page, and within it. */
  readonly url: string;
  readonly text: string;
}

export interface Page {
  /** In the site, with forward slashes. */
  readonly path: string;
  /** The file it is made from, or the place where that would stand: links are relative to it. */
  readonly source: string;
  readonly title: string;
  /** Of the navigation; a page without one is reached from others. */
  readonly group?: Group;
  /** With HTML where Markdown has no words for it. A heading ends in `{#id}` where its anchor is not made of it. */
  readonly markdown: string;
  /** Left out, each section of the page is an entry. */
  readonly entries?: readonly Entry[];
}

/** Groups of the navigation, in their order. */
export const GROUPS = ['Begin', 'How to', 'Reference', 'In editors', 'For machines', 'How it is built'] as const;
export type Group = (typeof GROUPS)[number];
