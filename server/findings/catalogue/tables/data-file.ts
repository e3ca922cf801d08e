import type { Declaration } from '../../../model/declaration.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'data-file',
  severity: 'error',
  title: 'A data file cannot be read',
  message: '{path}: {message}',
  fix({ place, data: { clause } }) {
    const { value } = place.owner as Declaration;
    if (!clause || !value) return null;
    const behindFile = { after: { owner: value, id: value.value.id } };
    return { title: `Say ${clause}`, edits: [{ place: behindFile, text: ` ${clause}` }] };
  },
});
