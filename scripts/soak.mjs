// Random edits of Cordgrass over the wire: `npm run soak [-- --edits N] [--seed N]`.
import { runBundled } from './bundled.mjs';

await runBundled('tests/fuzz/soak.ts', 'soak');
