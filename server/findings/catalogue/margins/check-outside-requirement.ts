import { isTemplate } from '../../../engine/verification-index.js';
import { at, rule } from '../../rule.js';

export default rule({
  code: 'check-outside-requirement',
  severity: 'information',
  title: 'A check belongs to no requirement',
  message:
    'This check stands outside of every requirement: it is looked at here, and counts for no status and no total. Put it into the requirement that it shows.',
  onCell(report, cell): void {
    if (cell.item?.kind === 'check' && cell.entity.kind !== 'requirement' && !isTemplate(cell.entity))
      report({ code: 'check-outside-requirement', place: at(cell.item, cell.item.id), data: {} });
  },
});
