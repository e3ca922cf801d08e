/** Names of files that one system takes and Windows does not. */

const DEVICE = /^(?:con|prn|aux|nul|conin\$|conout\$|(?:com|lpt)[0-9¹²³])$/i;
const FORBIDDEN = /[<>:"|?*\0-\x1f]/;

/** Why Windows can't use the path, as the end of a sentence: "aux.csv is a device there"; null where it can. */
export function troubleOnWindows(path: string): string | null {
  for (const name of path.split(/[/\\]/)) {
    if (name === '' || name === '.' || name === '..') continue;
    const stem = name.split('.', 1)[0]!.trimEnd();
    if (DEVICE.test(stem)) return `"${name}" is the device ${stem.toUpperCase()}`;
    if (/[. ]$/.test(name)) return `the ${name.endsWith('.') ? 'dot' : 'space'} at the end of "${name}" is dropped`;
    const forbidden = FORBIDDEN.exec(name);
    if (forbidden) return `no name holds the character ${JSON.stringify(forbidden[0]).replace('"\\""', "'\"'")}`;
  }
  return null;
}
