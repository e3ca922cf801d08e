/**
 * Text from a file or a file's name as a terminal may print it: control characters, and those that turn the direction
 * of a line round, become signs that can be seen.
 */
export function visible(text: string): string {
  return text.replace(/[\p{Cc}\p{Bidi_Control}\u2028\u2029]/gu, character => {
    const code = character.codePointAt(0)!;
    if (code < 0x20) return String.fromCodePoint(0x2400 + code);
    return code === 0x7f ? '\u2421' : `\\u{${code.toString(16)}}`;
  });
}
