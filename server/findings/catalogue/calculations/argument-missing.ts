import { here } from '../../fixes.js';
import { parseDimension, readableUnit } from '../../../units/index.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'argument-missing',
  severity: 'error',
  title: 'An argument is missing',
  message: '{of} needs {name}, and no value is given for it.',
  fix: ({ data }, text, { view }) => {
    const formula = [...view.namespace.root.values.values(), ...view.library.root.values.values()].find(
      item => item.name === data['of'] && item.parameters,
    );
    const type = formula?.parameters?.find(parameter => parameter.name === data['name'])?.type;
    const dimension =
      type?.kind === 'product' && type.terms.length === 1 ? parseDimension(type.terms[0]!.name) : undefined;
    if (!dimension || !text.endsWith(')')) return null;
    const unit = readableUnit(dimension, 0).symbol;
    return here(
      `Add ${data['name']}, to be determined`,
      `${text.slice(0, -1).trimEnd()}${/\(\s*\)$/.test(text) ? '' : ', '}${data['name']} = TBD${unit ? ` ${unit}` : ''})`,
    );
  },
});
