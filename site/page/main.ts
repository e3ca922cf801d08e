/** What a page does by itself: the search, and pages folded away where there is no room for them. */
import type { Entry } from '../page.js';
import { createSearch, type Search } from '../search.js';
import { followEditor } from './editor.js';

declare global {
  var searchEntries: readonly Entry[] | undefined;
}

const SHOWN = 12;
/** Kinds of which the name is no code. */
const PROSE: ReadonlySet<string> = new Set(['page', 'section', 'background']);
const root = document.documentElement.dataset['root']!;
const input = document.querySelector<HTMLInputElement>('#search')!;
const list = document.querySelector<HTMLElement>('#found')!;
const said = document.querySelector('#search-said')!;
const pages = document.querySelector<HTMLDetailsElement>('.pages')!;

let search: Promise<Search> | undefined;
let chosen = -1;

followEditor(root);

const wide = matchMedia('(min-width: 60rem)');
const fold = (): void => {
  pages.open = wide.matches;
};
wide.addEventListener('change', fold);
fold();

input.addEventListener('focus', () => void loaded());
input.addEventListener('input', () => void show());
input.addEventListener('keydown', event => {
  if (event.key === 'ArrowDown' || event.key === 'ArrowUp') {
    choose(chosen + (event.key === 'ArrowDown' ? 1 : -1));
    event.preventDefault();
  } else if (event.key === 'Enter') {
    const link = list.querySelectorAll('a')[chosen];
    if (link) link.click();
    else void show().then(() => list.querySelector('a')?.click());
    event.preventDefault();
  } else if (event.key === 'Escape') {
    close();
  }
});
document.addEventListener('keydown', event => {
  const typing = event.target instanceof HTMLInputElement;
  if (event.key !== '/' || typing || event.ctrlKey || event.metaKey || event.altKey) return;
  input.focus();
  input.select();
  event.preventDefault();
});
document.addEventListener('click', event => {
  if (!(event.target as Element).closest('search') || (event.target as Element).closest('#found a')) close();
});

/** A script and no request: pages may lie in a folder of the machine. */
function loaded(): Promise<Search> {
  return (search ??= new Promise((resolve, reject) => {
    const script = document.createElement('script');
    script.src = `${root}search-entries.js`;
    script.onload = () => resolve(createSearch(globalThis.searchEntries!));
    script.onerror = () => reject(new Error('The entries of the search are missing beside the pages.'));
    document.head.append(script);
  }));
}

async function show(): Promise<void> {
  const find = await loaded();
  const found = find(input.value).slice(0, SHOWN);
  list.replaceChildren(...found.map(option));
  list.hidden = input.value.trim() === '';
  input.setAttribute('aria-expanded', String(!list.hidden));
  said.textContent = list.hidden ? '' : found.length === 0 ? 'Nothing found.' : `${found.length} found.`;
  if (found.length === 0 && !list.hidden) list.append(element('p', 'nothing', 'Nothing found.'));
  choose(found.length > 0 ? 0 : -1);
}

function option(entry: Entry, i: number): HTMLElement {
  const link = document.createElement('a');
  link.id = `found-${i}`;
  link.href = root + entry.url;
  link.tabIndex = -1;
  link.setAttribute('role', 'option');
  const prose = PROSE.has(entry.kind) ? 'prose' : '';
  link.append(element('b', prose, entry.name), element('i', '', entry.kind), element('span', '', entry.title));
  return link;
}

function element(name: string, className: string, text: string): HTMLElement {
  const made = document.createElement(name);
  if (className) made.className = className;
  made.textContent = text;
  return made;
}

function choose(wanted: number): void {
  const options = [...list.querySelectorAll('[role=option]')];
  chosen = options.length === 0 ? -1 : (wanted + options.length) % options.length;
  for (const [i, each] of options.entries()) each.setAttribute('aria-selected', String(i === chosen));
  if (chosen < 0) return input.removeAttribute('aria-activedescendant');
  input.setAttribute('aria-activedescendant', `found-${chosen}`);
  options[chosen]!.scrollIntoView({ block: 'nearest' });
}

function close(): void {
  list.hidden = true;
  input.setAttribute('aria-expanded', 'false');
  input.removeAttribute('aria-activedescendant');
}
