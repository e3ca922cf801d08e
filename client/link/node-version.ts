const OLDEST = [22, 12] as const;

/** One sentence where the Node that would run the server is too old; else nothing. */
export function nodeProblem(version: string): string | undefined {
  const [major = 0, minor = 0] = version.split('.').map(Number);
  if (major > OLDEST[0] || (major === OLDEST[0] && minor >= OLDEST[1])) return undefined;
  return `Gusset needs Node.js ${OLDEST.join('.')} or newer and this editor runs ${version}: update the editor to use it.`;
}
