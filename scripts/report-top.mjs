// The beginning of a report, for who has not seen one: see server/reports/text.ts for what it is cut from.

/** The sections of a report whose titles begin like this. */
export function sectionsOf(report, title) {
  return report
    .trimEnd()
    .split('\n\n')
    .filter(section => section.startsWith(title));
}

/**
 * The rows of a table of margins that fit into `most` lines. A row begins where there is a margin, in a column as wide
 * as the rule below its title.
 */
export function rowsAtTop(section, most) {
  const lines = section.split('\n');
  const from = lines[1].indexOf('Margin') - 2;
  const begins = lines.flatMap((line, index) => (/\d/.test(line.slice(from, from + 8)) ? [index] : []));
  const shown = begins.filter(index => index < most);
  return [...lines.slice(0, shown.at(-1)), `(and ${begins.length - shown.length + 1} more)`].join('\n');
}
