import { rule } from '../../rule.js';
import { ownStatements } from '../../statements.js';

const VAGUE =
  /\b(adequate(?:ly)?|appropriate(?:ly)?|as far as possible|as much as possible|as required|if necessary|where necessary|where possible|if possible|sufficient(?:ly)?|suitabl[ey]|reasonabl[ey]|user[- ]friendly|easy|easily|fast|quickly|minimi[sz]ed?|maximi[sz]ed?|optimi[sz]ed?|optimal(?:ly)?|state of the art|and\/or|etc\.?|approximately|about|some|several|good|bad)(?=\s|[.,;:)]|$)/i;

export default rule({
  code: 'vague-wording',
  severity: 'information',
  title: 'A vague word in a requirement',
  message: 'The statement of {label} says "{word}", which nobody can verify. Say how much.',
  onProject(report, view): void {
    for (const { requirement, place, text } of ownStatements(view)) {
      const word = VAGUE.exec(text)?.[1];
      if (word) report({ code: 'vague-wording', place, data: { label: requirement.label, word } });
    }
  },
});
