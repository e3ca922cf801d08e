#!/usr/bin/env node
// Old syntax only: this file must load in a Node too old for the rest, to say so in one sentence.
var version = process.versions.node.split('.').map(Number);
if (version[0] > 22 || (version[0] === 22 && version[1] >= 12)) {
  import('node:module').then(function (module) {
    // Compiled code is kept between runs, beside Node's other caches.
    if (module.enableCompileCache) module.enableCompileCache();
    return import('./gusset.mjs');
  });
} else {
  console.error('gusset needs Node.js 22.12 or newer; this is Node.js ' + process.versions.node + '. Install a newer Node.js, then run the command again.');
  process.exitCode = 2;
}
