import { at, rule } from '../../rule.js';

export default rule({
  code: 'requirement-without-statement',
  severity: 'warning',
  title: 'A requirement has no statement',
  message: '{label} has no statement. Write what shall be, in quotes behind its label.',
  kinds: ['requirement'],
  onDeclaration(report, entity): void {
    if (entity.name !== '' && !entity.title)
      report({ code: 'requirement-without-statement', place: at(entity.declaration), data: { label: entity.label } });
  },
  fix: ({ place }) => ({ title: 'Give it a statement', edits: [{ place: { after: place }, text: ' "It shall …"' }] }),
});
