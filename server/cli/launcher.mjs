#!/usr/bin/env node
// Old syntax only: this file must load in a Node too old for the rest, to say so in one sentence.
var version = process.versions.node.split('.').map(Number);
if (version[0] > 22 || (version[0] === 22 && version[1] >= 12)) {
  Promise.all([import('node:module'), import('node:v8')]).then(function (modules) {
    if (modules[0].enableCompileCache) modules[0].enableCompileCache();
    if (process.argv[2] !== 'serve') {
      // A check is over before most of its code is hot: plain machine code is made at once, and the optimizing
      // compiler, which would
      // take the second core from the collector, waits for what runs often.
      modules[1].setFlagsFromString('--always-sparkplug');
      modules[1].setFlagsFromString('--invocation-count-for-turbofan=20000');
    }
    return import('./gusset.mjs');
  });
} else {
  console.error(
    'gusset needs Node.js 22.12 or newer; this is Node.js ' +
      process.versions.node +
      '. Install a newer Node.js, then run the command again.',
  );
  process.exitCode = 2;
}
