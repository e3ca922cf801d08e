// Builds when out of date, without a word, then runs the command line where the user stands.
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from './build.mjs';
import { root } from './files.mjs';

await build({ quiet: true });
process.chdir(process.env.INIT_CWD ?? process.cwd());
process.argv[1] = join(root, 'out/cli.mjs');
await import(pathToFileURL(process.argv[1]).href);
