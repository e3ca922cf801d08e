import { isTemplate } from '../../../engine/verification-index.js';
import { BLOCKS, type FieldRow } from '../../../language/index.js';
import { at, rule } from '../../rule.js';
import { declared } from '../../../model/statements.js';

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
    for (const [field, { required, documentation, type, words }] of Object.entries(fields)) {
      if (required && !entity.values.has(field))
        report({
          code: 'missing-field',
          place: at(entity.declaration),
          data: {
            kind: capital(entity.kind),
            name: entity.label,
            field,
            doc: documentation,
            example: exampleOf(type, words),
          },
        });
    }
  },
  onProject(report, { namespace }): void {
    const project = namespace.ofKind('project')[0];
    if (project?.values.has('mass_limit') && !project.values.has('mass_of'))
      report({
        code: 'missing-field',
        place: at(project.declaration),
        data: {
          kind: 'Project',
          name: project.label,
          field: 'mass_of',
          doc: 'Without it the cap is held against nothing.',
        },
      });
    for (const part of namespace.ofKind('part')) {
      if (!part.base || isTemplate(part)) continue;
      for (const { name } of declared(part.base, 'kind').given)
        if (!part.values.has(name))
          report({
            code: 'missing-field',
            place: at(part.declaration),
            data: { kind: 'Part', name: part.label, field: name, doc: `It is given to ${part.base.name}.` },
          });
    }
  },
  fix: ({ place, data: { field, example } }) =>
    example === undefined
      ? null
      : {
          title: `Add ${field}`,
          edits: [{ place: { inside: { owner: place.owner, id: 0 } }, text: `${field} = ${example}` }],
        },
});

function exampleOf(type: FieldRow['type'], words: readonly string[] | undefined): string {
  return words?.[0] ?? EXAMPLES[type] ?? '""';
}

const EXAMPLES: Readonly<Record<string, string>> = { date: '2000-01-01', file: 'file("reports/…")' };

const capital = (word: string): string => word[0]!.toUpperCase() + word.slice(1);
