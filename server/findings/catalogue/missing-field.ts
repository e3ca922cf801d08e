import { BLOCKS, type FieldRule } from '../../model/blocks.js';
import { at, rule } from '../rule.js';

export default rule({
  code: 'missing-field',
  severity: 'warning',
  title: 'A field is missing',
  message: '{kind} {name} needs {field}. {doc}',
  kinds: [...BLOCKS.values()]
    .filter(({ fields }) => Object.values(fields).some(({ required }) => required))
    .map(({ kind }) => kind),
  onDeclaration(report, entity): void {
    const fields = BLOCKS.get(entity.kind)?.fields ?? {};
    for (const [field, { required, doc, type, words }] of Object.entries(fields)) {
      if (required && !entity.values.has(field))
        report({
          code: 'missing-field',
          place: at(entity.declaration),
          data: { kind: capital(entity.kind), name: entity.label, field, doc, example: exampleOf(type, words) },
        });
    }
  },
  fix: found => ({
    title: `Add ${found.data['field']}`,
    edits: [
      {
        place: { inside: { owner: found.place.owner, id: 0 } },
        text: `${found.data['field']} = ${found.data['example']}`,
      },
    ],
  }),
});

function exampleOf(type: FieldRule['type'], words: readonly string[] | undefined): string {
  return words?.[0] ?? EXAMPLES[type] ?? '""';
}

const EXAMPLES: Readonly<Record<string, string>> = { date: '2000-01-01', file: 'file("reports/…")' };

const capital = (word: string): string => word[0]!.toUpperCase() + word.slice(1);
