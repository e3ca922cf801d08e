import { expect, test } from 'vitest';
import { nodeProblem } from '../../client/link/node-version.js';

test.each(['22.12.0', '22.20.1', '24.0.0', '25.1.0'])('Node %s runs the server', version => {
  expect(nodeProblem(version)).toBeUndefined();
});

test.each(['20.20.2', '22.11.0', '18.0.0'])('Node %s is too old and the editor says so in one sentence', version => {
  expect(nodeProblem(version)).toBe(
    `Gusset needs Node.js 22.12 or newer and this editor runs ${version}: update the editor to use it.`,
  );
});
