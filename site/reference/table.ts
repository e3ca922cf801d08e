/** Markdown of the generated pages. */

/** A table; the bars of a cell are its own. */
export function markdownTable(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const line = (cells: readonly string[]): string =>
    `| ${cells.map(cell => cell.replaceAll('|', '\\|')).join(' | ')} |`;
  return [line(head), line(head.map(() => '---')), ...rows.map(line)].join('\n');
}

/** For a row, whose first cell it begins. */
export function anchor(id: string): string {
  return `<a id="${id.replaceAll('"', '&quot;')}"></a>`;
}

/** Letters of code; a mark of code inside takes a longer fence. */
export function code(text: string): string {
  return text.includes('`') ? `\`\` ${text} \`\`` : `\`${text}\``;
}

/** How something is written, with places to fill in. */
export function form(text: string): string {
  return `<span class="form">${code(text)}</span>`;
}

/** A fenced text of the language. */
export function example(text: string): string {
  return `\`\`\`gusset\n${text}\n\`\`\``;
}

/** Where an entry of a page stands. */
export function link(page: string, id: string): string {
  return `${page}#${encodeURIComponent(id)}`;
}
