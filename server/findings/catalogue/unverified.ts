import { at, rule, type Found } from '../rule.js';
import { requirementData } from '../requirement-data.js';

export default rule({
  code: 'unverified', severity: 'information', title: 'A requirement is not verified yet',
  message: '{label} passes and is not verified{configuration}: {open}.',
  *onRequirement(result, configuration): Iterable<Found> {
    const open = [...new Set(result.methods.flatMap(method => method.open))];
    if (result.own === 'unverified' && open.length > 0) yield { code: 'unverified', place: at(result.entity.declaration), data: { ...requirementData(result, configuration), open: open.join('; ') } };
  },
});
