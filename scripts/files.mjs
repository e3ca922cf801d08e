// What the build scripts share: walking folders and knowing when an output is older than its inputs.
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, readdirSync, realpathSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = fileURLToPath(new URL('..', import.meta.url));

/** All files at or under `path` (relative to the root, with forward slashes), sorted, without generated ones. */
export function filesUnder(path) {
  const full = join(root, path);
  if (!existsSync(full)) return [];
  if (statSync(full).isFile()) return [path];
  return readdirSync(full, { recursive: true, withFileTypes: true })
    .filter(entry => entry.isFile())
    .map(entry => relative(root, join(entry.parentPath, entry.name)).replaceAll(sep, '/'))
    .filter(file => !file.split('/').includes('generated'))
    .sort();
}

/** Whether Node was started with the module at `filename`, by whatever spelling of its path and through any link. */
export function isStarted(filename) {
  const [, started = ''] = process.argv;
  return existsSync(started) && realpathSync.native(started) === realpathSync.native(filename);
}

/** Writes only when the content differs, so that nothing downstream runs for nothing. */
export function writeIfChanged(path, content) {
  const full = join(root, path);
  if (existsSync(full) && readFileSync(full, 'utf8') === content) return;
  mkdirSync(dirname(full), { recursive: true });
  writeFileSync(full, content);
}

/**
 * Runs `action` unless all `outputs` exist and `inputs` (files or folders) still hash to what they did when it last
 * succeeded. Resolves to whether it ran.
 */
export async function whenChanged(name, inputs, outputs, action) {
  const stamp = join(root, 'out', `${name}.stamp`);
  const hash = hashOf(inputs.flatMap(filesUnder));
  const complete = outputs.every(output => existsSync(join(root, output)));
  if (complete && existsSync(stamp) && readFileSync(stamp, 'utf8') === hash) return false;
  await action();
  mkdirSync(dirname(stamp), { recursive: true });
  writeFileSync(stamp, hash);
  return true;
}

function hashOf(files) {
  const hash = createHash('sha256');
  for (const file of files)
    hash
      .update(file)
      .update('\0')
      .update(readFileSync(join(root, file)))
      .update('\0');
  return hash.digest('hex');
}
