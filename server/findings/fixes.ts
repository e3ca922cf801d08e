/** What quick fixes share. */
import type { Place } from '../engine/values/value.js';
import type { Entity, Namespace } from '../model/namespace.js';
import type { Fix, FixHelp, Found } from './rule.js';
import { declared } from '../model/statements.js';

/** The text at the place of the finding becomes another. */
export function here(title: string, text: string): Fix {
  return { title, edits: [{ place: 'here', text }] };
}

/** The near spelling in the place of the finding, and wherever else the same is written. */
export function replaceThroughout({ data, related = [] }: Found): Fix | null {
  const { similar } = data;
  if (!similar) return null;
  const places = ['here' as const, ...related.map(({ place }) => place)];
  return { title: `Replace by ${similar}`, edits: places.map(place => ({ place, text: similar })) };
}

/** A statement as the last one of a block. */
export function inside(title: string, block: Entity, text: string): Fix {
  return { title, edits: [{ place: { inside: { owner: block.declaration, id: 0 } }, text }] };
}

/** `STR-019` → `STR-020`, as far on as it takes. */
export function freeLabel(label: string, taken: (label: string) => boolean): string {
  const digits = /\d+$/.exec(label)?.[0] ?? '';
  const stem = label.slice(0, label.length - digits.length);
  for (let number = digits === '' ? 2 : Number(digits) + 1; ; number++) {
    const next = stem + String(number).padStart(digits.length, '0');
    if (!taken(next)) return next;
  }
}

/** Whether labels differ in their numbers alone (TR-1, TR-2): the neighbour of one is no slip of it; TR-01 is. */
export function countsOn(label: string, other: string): boolean {
  const letters = (text: string): string => text.replace(/\d+/g, '#');
  const numbers = (text: string): string => (text.match(/\d+/g) ?? []).map(Number).join();
  return letters(label) === letters(other) && numbers(label) !== numbers(other);
}

export function isTaken(namespace: Namespace): (name: string) => boolean {
  return name => namespace.named(name).size > 0 || namespace.root.values.has(name);
}

/**
 * The operands of the one sign or comparison that stands outside of all brackets of a text; null where there are
 * several or none.
 */
export function splitAt(
  text: string,
  signs: readonly string[],
): { readonly left: string; readonly sign: string; readonly right: string } | null {
  let depth = 0;
  let found: { at: number; sign: string } | null = null;
  for (let i = 0; i < text.length; i++) {
    const c = text[i]!;
    if (c === '(' || c === '[' || c === '{') depth++;
    else if (c === ')' || c === ']' || c === '}') depth--;
    const sign = depth === 0 ? signs.find(candidate => text.startsWith(candidate, i)) : undefined;
    if (sign === undefined) continue;
    if (found) return null;
    found = { at: i, sign };
    i += sign.length - 1;
  }
  return (
    found && {
      left: text.slice(0, found.at).trim(),
      sign: found.sign,
      right: text.slice(found.at + found.sign.length).trim(),
    }
  );
}

const MOST_LOTS = 4;

/** `from L-1` for each lot of the material that a part names. */
export function lotFixes(part: Entity | null, help: FixHelp): Fix[] {
  const item = part?.values.get('material');
  if (!part || !item) return [];
  const material = item.value.kind === 'name' ? item.value.name : '';
  const lots = help.view.namespace
    .ofKind('lot')
    .filter(lot => declared(lot, 'lot').of?.path.at(-1) === material)
    .slice(0, MOST_LOTS);
  const place: Place = { owner: item, id: item.value.id };
  return lots.map(lot => ({
    title: `Take it from ${lot.name}`,
    edits: [{ place: { after: place }, text: ` from ${lot.name}` }],
  }));
}
