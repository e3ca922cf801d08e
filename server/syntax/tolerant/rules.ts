/** The rules of the grammar as tables that are linked: what may stand where, and what it makes. */
import { TABLES, type Role } from './generated/tables.js';
import type { PlaceTable } from './rule-table.js';

export type { Role } from './generated/tables.js';

/** A rule of the grammar. */
export interface Rule {
  readonly name: string;
  readonly type: string;
  readonly isInfix: boolean;
  /** Kinds of token that it may begin with. */
  readonly firsts: ReadonlySet<string>;
  readonly start: Place;
}

/** A place of a rule, in which a token or another rule stands. */
export interface Place {
  /** Among all places of all rules. */
  readonly number: number;
  readonly token: string | null;
  readonly rule: Rule | null;
  readonly type: string;
  readonly property: string;
  readonly role: Role | '';
  readonly makes: PlaceTable['makes'];
  readonly ends: boolean;
  readonly next: readonly Place[];
  /** Kinds of token that these begin with. */
  readonly ahead: ReadonlySet<string>;
  /** Places that come behind it at some time. */
  readonly later: readonly Place[];
}

const LOOSENESS: ReadonlyMap<string, number> = new Map(
  TABLES.flatMap(({ places }) =>
    places.flatMap(({ type, token, looseness }) =>
      looseness === undefined ? [] : [[`${type} ${token}`, looseness] as const],
    ),
  ),
);

/** How late an operator binds in a node of its type: the more, the later. */
export const looseness = (type: string, operator: string): number => LOOSENESS.get(`${type} ${operator}`) ?? 0;

export const roleOf = (type: string, property: string): Role | '' =>
  property === '' ? '' : (`${type}.${property}` as Role);

type Mutable<T> = { -readonly [Key in keyof T]: T[Key] };

export const PLACES = TABLES.reduce((sum, { places }) => sum + places.length, 0);
export const RULES: ReadonlyMap<string, Rule> = linked();

function linked(): ReadonlyMap<string, Rule> {
  let number = 0;
  const placesOf = TABLES.map(({ places }) =>
    places.map(({ token = null, type, property = '', makes, ends }): Mutable<Place> => ({
      number: number++,
      token,
      rule: null,
      type,
      property,
      role: roleOf(type, property),
      makes,
      ends,
      next: [],
      ahead: new Set(),
      later: [],
    })),
  );
  const rules = new Map(
    TABLES.map(({ name, type, infix, firsts }, i): [string, Rule] => [
      name,
      { name, type, isInfix: infix === true, firsts: new Set(firsts), start: placesOf[i]![0]! },
    ]),
  );
  TABLES.forEach(({ places }, i) =>
    places.forEach(({ rule, next }, j) => {
      const place = placesOf[i]![j]!;
      place.rule = rule === undefined ? null : rules.get(rule)!;
      place.next = next.map(each => placesOf[i]![each]!);
    }),
  );
  for (const place of placesOf.flat()) {
    place.ahead = new Set(place.next.flatMap(({ token, rule }) => token ?? [...rule!.firsts]));
    place.later = behind(place);
  }
  return rules;
}

function behind(place: Place): readonly Place[] {
  const found = new Set(place.next);
  for (const each of found) for (const next of each.next) found.add(next);
  return [...found];
}
