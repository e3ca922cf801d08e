import { rule } from '../../rule.js';

export default rule({
  code: 'header-unit-unknown',
  severity: 'error',
  title: 'The header of a column names no known unit',
  message: ({ column, header, unit, meant }) =>
    `${column} stands under "${header}", and ${unit} is no unit that could be held against what is stated${meant ? `; ${meant} may be meant` : ''}. ${meant ? `State the unit of the column (${column} as ${meant}), and correct` : 'Correct'} the header.`,
});
