import { here } from '../../fixes.js';
import { rule } from '../../rule.js';

export default rule({
  code: 'syntax',
  severity: 'error',
  title: 'The text cannot be read',
  message: '{message}',
  fix: ({ data }) =>
    Object.entries(data)
      .filter(([key]) => key.startsWith('replacement '))
      .map(([, text]) =>
        here(text.trim() === '' ? (text === '' ? 'Take it out' : 'Write a plain space') : `Write ${text}`, text),
      ),
});
