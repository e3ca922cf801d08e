import type { Entity, Namespace } from '../../../model/namespace.js';
import type { Place } from '../../../engine/values/value.js';
import { codePoint } from '../../../syntax/slips.js';
import { here, isTaken } from '../../fixes.js';
import { at, rule } from '../../rule.js';

/** Letters of other scripts that look like Latin ones, after the confusables of Unicode Technical Standard 39. */
const CYRILLIC = ['АВЕЗКМНОРСТУХЅІЈҮԌԚԜаеорсухѕіјԁԛԝһ', 'ABE3KMHOPCTYXSIJYGQWaeopcyxsijdqwh'] as const;
const GREEK = ['ΑΒΕΖΗΙΚΜΝΟΡΤΥΧο', 'ABEZHIKMNOPTYXo'] as const;
const LATIN_OF = new Map(
  [CYRILLIC, GREEK].flatMap(([letters, latin]) => [...letters].map((letter, i) => [letter, latin[i]!] as const)),
);
const FOREIGN = /[^\0-\x7f]/;
const LATIN = /\p{Script=Latin}/u;

export default rule({
  code: 'look-alike',
  severity: 'error',
  title: 'A name only looks like another',
  message:
    '{name} has letters of another script that look like Latin ones ({letters}). Write {latin}, or another name.',
  onProject(report, { namespace }): void {
    const isDeclared = isTaken(namespace);
    for (const [name, place] of foreignNames(namespace)) {
      const latin = [...name].map(letter => LATIN_OF.get(letter) ?? letter).join('');
      const isMixed = latin !== name && LATIN.test(name);
      if (!isMixed && (latin === name || !isDeclared(latin))) continue;
      const letters = [...new Set(name)]
        .filter(letter => LATIN_OF.has(letter))
        .map(letter => `${letter} ${codePoint(letter)}`);
      report({ code: 'look-alike', place, data: { name, latin, letters: letters.join(', ') } });
    }
  },
  fix: ({ data }) => here(`Write ${data['latin']}`, data['latin']!),
});

function* foreignNames(namespace: Namespace): Generator<readonly [string, Place]> {
  for (const entity of [namespace.root, ...namespace.entities.values()] as Iterable<Entity>) {
    if (entity.template || (entity.contenders.length === 0 && entity !== namespace.root)) continue;
    if (FOREIGN.test(entity.name)) yield [entity.name, at(entity.declaration)];
    for (const [name, item] of entity.values) if (FOREIGN.test(name)) yield [name, { owner: item, id: item.id }];
  }
}
