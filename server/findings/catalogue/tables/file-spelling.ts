import { citedFile } from '../../../engine/values/words.js';
import { here } from '../../fixes.js';
import { usesOf } from '../../libraries.js';
import { at, rule } from '../../rule.js';
import { declarationsOf, itemsOf } from '../../text-search.js';

export default rule({
  code: 'file-spelling',
  severity: 'warning',
  title: 'A path is spelt otherwise than its file',
  message:
    '"{written}" is spelt {spelt} where it lies: by case, or by how its accents are composed. Other systems do not find it so.',
  onProject(report, view): void {
    for (const declaration of declarationsOf(view.namespace))
      for (const item of itemsOf(declaration)) {
        const written = 'value' in item ? citedFile(item.value) : null;
        const spelt = written === null ? undefined : view.spelling(item.placement.file, written);
        if (spelt !== undefined && 'value' in item)
          report({
            code: 'file-spelling',
            place: at(item, item.value.id),
            data: { written: written!, spelt: ending(spelt, written!), mended: `file("${ending(spelt, written!)}")` },
          });
      }
    for (const { declaration, use, outcome } of usesOf(view))
      if (outcome && 'spelt' in outcome && ending(outcome.spelt, use.path) !== use.path.replace(/\/$/, ''))
        report({
          code: 'file-spelling',
          place: at(declaration, use.pathId),
          data: {
            written: use.path,
            spelt: ending(outcome.spelt, use.path),
            mended: `"${ending(outcome.spelt, use.path)}"`,
          },
        });
  },
  fix: ({ data }) => here(`Spell it ${data['spelt']}`, data['mended']!),
});

/** A path as it is written, with the names of its end as they are spelt. */
function ending(spelt: string, written: string): string {
  const [names, own] = [spelt.split('/'), written.replace(/\/$/, '').split('/')];
  const named = own.filter(name => name !== '..' && name !== '.').length;
  let at = names.length - named;
  return own.map(name => (name === '..' || name === '.' ? name : (names[at++] ?? name))).join('/');
}
