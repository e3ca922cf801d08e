import { rule } from '../../rule.js';

export default rule({
  code: 'worst-case-not-bounded',
  severity: 'error',
  title: 'The worst case is not found',
  message: ({ sources, operation }) =>
    `The worst case over all that varies could not be bounded: ${obstacle(sources ?? '', operation ?? '')}. Split the check, narrow what varies, or read it at nominal(x), low(x) or high(x).`,
});

function obstacle(sources: string, operation: string): string {
  if (operation === '')
    return sources === '' ? 'there is too much to look at' : `${sources} act together in too many ways`;
  const where = sources === '' ? '' : ` where ${sources} ${sources.includes(', ') ? 'vary' : 'varies'}`;
  return operation.includes(' ') && !operation.startsWith('a table')
    ? `${operation} depends on what varies`
    : `${operation} can't be shown to have a value everywhere${where}`;
}
