// Random cases for as long as asked: `npm run fuzz -- --minutes N [--only NAME…] [--seed N]`.
import { runBundled } from './bundled.mjs';

await runBundled('tests/fuzz/run.ts', 'fuzz', ['--enable-source-maps']);
