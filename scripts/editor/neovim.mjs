// The lines that docs/editors/neovim.md gives, tried in Neovim over a copy of the example.
import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { root } from '../files.mjs';
import { debianPackage } from './tools.mjs';

export function testNeovim(folder, report) {
  debianPackage('neovim', '/usr/bin/nvim');
  cpSync(join(root, 'examples/cordgrass'), join(folder, 'cordgrass'), { recursive: true });
  mkdirSync(join(folder, 'bin'));
  symlinkSync(join(root, 'out/cli.mjs'), join(folder, 'bin/gusset'));
  const page = readFileSync(join(root, 'docs/editors/neovim.md'), 'utf8');
  writeFileSync(join(folder, 'init.lua'), /```lua\n(.*?)```/s.exec(page)[1]);
  const start = performance.now();
  const { status, stdout, stderr } = spawnSync(
    '/usr/bin/nvim',
    ['--headless', '-n', '-i', 'NONE', '-u', join(folder, 'init.lua'), '-S', join(root, 'tests/editor/neovim.lua')],
    {
      cwd: join(folder, 'cordgrass'),
      encoding: 'utf8',
      timeout: 60_000,
      env: {
        ...process.env,
        PATH: join(folder, 'bin') + delimiter + process.env.PATH,
        XDG_STATE_HOME: folder,
        XDG_CACHE_HOME: folder,
      },
    },
  );
  report({
    name: 'neovim: the example shows its failing margin, and an edit makes it pass',
    milliseconds: performance.now() - start,
    error: status === 0 ? undefined : stdout + stderr || 'it did not end',
  });
}
