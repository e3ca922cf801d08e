import { here } from '../../fixes.js';
import { BASES, BLOCKS, SEVERITIES } from '../../../language/index.js';
import { METHOD_WORDS } from '../../../engine/values/words.js';
import { nearest } from '../../../base/index.js';
import type { Place } from '../../../engine/values/value.js';
import { annotatedValues } from '../../text-search.js';
import { at, rule, type Found } from '../../rule.js';
import { saidIn } from '../../../model/statements.js';

export default rule({
  code: 'unknown-word',
  severity: 'warning',
  title: 'A word is not one of those that may stand here',
  message: ({ word, what, known, similar }) =>
    `${word} is no ${what}${similar ? `; ${similar} may be meant` : ''}. Known are: ${known}.`,
  onDeclaration(report, entity): void {
    const fields = BLOCKS.get(entity.kind)?.fields;
    for (const item of entity.declaration.values) {
      const { type, words } = fields?.[item.name] ?? {};
      if (type !== 'word' || !words) continue;
      const word =
        item.value.kind === 'name'
          ? item.value.name
          : item.value.kind === 'truth'
            ? item.value.value
              ? 'yes'
              : 'no'
            : 'This';
      if (!words.includes(word)) report(found(at(item, item.value.id), word, item.name, words));
    }
    for (const method of saidIn(entity.declaration, 'methods'))
      if (!METHOD_WORDS.includes(method.name))
        report(found(at(entity.declaration, method.id), method.name, 'method', METHOD_WORDS));
    for (const setting of saidIn(entity.declaration, 'severities'))
      if (!isOneOf(SEVERITIES, setting.level))
        report(found(at(entity.declaration, setting.id), setting.level, 'severity', SEVERITIES));
    for (const item of entity.declaration.values) {
      for (const { value, annotations } of annotatedValues(item))
        if (annotations.basis !== undefined && !isOneOf(BASES, annotations.basis))
          report(found(at(item, value.id), annotations.basis, 'basis', BASES));
    }
  },
  fix: ({ data: { word, similar, what } }, text) => {
    if (!similar || what === 'basis') return null;
    const known = similar.replaceAll(' ', '_');
    return here(
      `Replace by ${known}`,
      what === 'method' || what === 'severity' ? text.replace(new RegExp(`\\b${word}\\b`), known) : known,
    );
  },
});

const isOneOf = (words: readonly string[], word: string): boolean => words.includes(word);

function found(place: Place, word: string, what: string, known: readonly string[]): Found {
  return {
    code: 'unknown-word',
    place,
    data: {
      word,
      what,
      known: known.join(', '),
      similar: nearest(word, known) ?? known.find(candidate => word.startsWith(candidate)) ?? '',
    },
  };
}
