/** Text as it stands in HTML, and in an attribute of it. */
export function escapeHtml(text: string): string {
  return text.replace(/[&<>"]/g, character => `&#${character.charCodeAt(0)};`);
}

/** What of HTML is read aloud: no tags, no entities, single spaces. */
export function plainText(html: string): string {
  return html
    .replace(/<pre[\s\S]*?<\/pre>|<math[\s\S]*?<\/math>|<[^>]*>/g, ' ')
    .replace(/&#(\d+);/g, (_, code: string) => String.fromCodePoint(Number(code)))
    .replace(/&amp;/g, '&')
    .replace(/&lt;/g, '<')
    .replace(/&gt;/g, '>')
    .replace(/&quot;/g, '"')
    .replace(/&#?\w+;/g, ' ')
    .replace(/\s+/g, ' ')
    .trim();
}
