import { at, rule } from '../../rule.js';

export default rule({
  code: 'lot-without-certificate',
  severity: 'warning',
  title: 'A lot has no certificate',
  message: 'Lot {name} names no certificate. Add certificate = file("…").',
  kinds: ['lot'],
  onDeclaration(report, entity): void {
    if (!entity.values.has('certificate'))
      report({ code: 'lot-without-certificate', place: at(entity.declaration), data: { name: entity.label } });
  },
  fix: found => ({
    title: 'Add a certificate',
    edits: [
      {
        place: { inside: { owner: found.place.owner, id: 0 } },
        text: `certificate = file("certs/${found.data['name']}.pdf")`,
      },
    ],
  }),
});
