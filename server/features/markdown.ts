/** Texts of a project inside Markdown that editors show: data, never markup. */

/**
 * Words of the project as they stand: no link, picture, HTML, emphasis, list or heading comes out of them. What begins
 * a number is left alone, since some editors show the backslash.
 */
export function words(text: string): string {
  return text
    .replace(/[\\`*[\]|~&<>]|(?<![\p{L}\p{N}])_|_(?![\p{L}\p{N}])|:(?=\/\/)|(?<=www)\.|@/giu, escaped)
    .replace(/^(\s*)(?:([#=]|[+-](?!\d))|(\d+)(?=[.)](?!\d)))/gm, (_, indent: string, mark = '', number = '') =>
      mark ? `${indent}\\${mark}` : `${indent}${number}\\`,
    )
    .replace(/[^\S\n]*\n\s*/g, '  \n')
    .trim();
}

/** Behind a backslash an address stays one that editors make a link of, and HTML stays HTML. */
function escaped(character: string): string {
  return '&<>:.@'.includes(character) ? `&#${character.charCodeAt(0)};` : `\\${character}`;
}

/** Values and names, in the letters of code. */
export function codeSpan(text: string): string {
  const fence = fenceFor(text, 1);
  const padding = /^[` ]|[` ]$/.test(text) ? ' ' : '';
  return fence + padding + text.replace(/\s*\n\s*/g, ' ') + padding + fence;
}

export function codeBlock(text: string): string {
  const fence = fenceFor(text, 3);
  return `${fence}gusset\n${text}\n${fence}`;
}

/** Rows of Markdown, of which each cell stays in its column. */
export function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  return [head, head.map(() => '---'), ...rows].map(row => `| ${row.map(cellText).join(' | ')} |`).join('\n');
}

/** A bar divides cells, in code too, unless an odd number of backslashes stands before it. */
function cellText(text: string): string {
  return text
    .replace(/(\\*)\|/g, (bar, slashes: string) => (slashes.length % 2 === 1 ? bar : `${slashes}\\|`))
    .replace(/\s*\n\s*/g, ' ');
}

/** Longer than any run of backticks inside. */
function fenceFor(text: string, least: number): string {
  const longest = (text.match(/`+/g) ?? []).reduce((most, run) => Math.max(most, run.length), 0);
  return '`'.repeat(longest < least ? least : longest + 1);
}
