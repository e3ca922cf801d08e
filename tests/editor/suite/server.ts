import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import * as vscode from 'vscode';
import { keepsNobodyOut } from '../support/access.js';
import { eventually, expect, finding, noFinding, open, rangeOf, replace } from '../support/editor.js';
import { page } from '../support/page.js';
import { test } from '../support/runner.js';

/** The server's process: the child of this extension host that runs the bundle. */
function serverProcess(): number | undefined {
  for (const name of readdirSync('/proc').filter(each => /^\d+$/.test(each))) {
    try {
      const parent = /^PPid:\s*(\d+)/m.exec(readFileSync(`/proc/${name}/status`, 'utf8'))?.[1];
      if (Number(parent) === process.pid && readFileSync(`/proc/${name}/cmdline`, 'utf8').includes('gusset.mjs'))
        return Number(name);
    } catch {
      // It ended in the meantime.
    }
  }
  return undefined;
}

test('a server that is killed comes back with its findings, twice, and so do the sheet and the views', async () => {
  const editor = await open('thermal.gus');
  await finding('thermal.gus', 'failing-margin');
  await vscode.commands.executeCommand('gusset.requirements.focus');
  await vscode.commands.executeCommand('gusset.showMarginSheet');
  await page.waitFor('tr[data-id]', { webview: true });
  for (const round of [1, 2]) {
    const killed = await eventually('a server process', serverProcess);
    process.kill(killed, 'SIGKILL');
    await eventually(
      `another server, round ${round}`,
      () => serverProcess() !== undefined && serverProcess() !== killed,
    );
    await replace(editor, 't = 3.7 mm', 't = 4.1 mm');
    await noFinding('thermal.gus', 'failing-margin');
    await shown('unverified', '+0.16');
    await replace(editor, 't = 4.1 mm', 't = 3.7 mm');
    await finding('thermal.gus', 'failing-margin');
    await shown('failing', '-0.06');
  }
  const sheets = vscode.window.tabGroups.all
    .flatMap(({ tabs }) => tabs)
    .filter(({ label }) => label === 'Margin Sheet');
  expect(sheets.length === 1, `${sheets.length} sheets`);
  expect(
    !(await page.evaluate<boolean>('!!document.querySelector(".notification-toast .codicon-error")')),
    'an error was shown',
  );
  await vscode.window.tabGroups.close(sheets);
});

/** Waits until the sheet, the tree and the status bar say so of THM-001, and none of them waits for something. */
async function shown(status: string, margin: string): Promise<void> {
  const row =
    '`${document.querySelector(".content").ariaBusy} ${[...document.querySelectorAll("tr[data-id]")].find(row => row.textContent.startsWith("THM-001"))?.querySelector(".number").textContent}`';
  let seen = '';
  await eventually(
    `${margin} in the sheet`,
    async () => (seen = await page.evaluate<string>(row, 'h1').catch(String)) === `false ${margin}`,
    () => seen,
  );
  // Its row says the margin, and the row of its group the status.
  await page.waitFor(`[id="workbench.parts.sidebar"] .monaco-list-row:has-text("THM-001"):has-text("${margin}")`);
  await page.waitFor(
    status === 'failing' ? '.statusbar-item:has-text("1 failing")' : '.statusbar-item:has-text("4 unverified")',
  );
  await page.waitFor('[id="workbench.parts.sidebar"] .pane .monaco-progress-container.active', { state: 'hidden' });
}

/** Until the list of messages says so: shown again each time, since an empty one may close before a message comes. */
async function staysStopped(): Promise<void> {
  await eventually('a message that the server stays stopped', async () => {
    await vscode.commands.executeCommand('notifications.showList');
    return page.evaluate<boolean>(
      '[...document.querySelectorAll(".notifications-center.visible .notification-list-item")].some(item => item.textContent.includes("stays stopped"))',
    );
  });
}

test('a server that keeps ending stays stopped, says so, and starts when asked to', async () => {
  await finding('thermal.gus', 'failing-margin');
  let last: number | undefined;
  // Two endings are on the account already.
  for (let round = 0; round < 4; round++) {
    last = await eventually('a server process', () => {
      const process = serverProcess();
      return process !== last && process;
    });
    process.kill(last, 'SIGKILL');
  }
  await staysStopped();
  await page.click('.notifications-center .monaco-button:has-text("Restart")');
  await eventually('a server process', serverProcess);
  await finding('thermal.gus', 'failing-margin');
});

test('a server that dies while it starts is told of once, leads to the log, and starts when it can', async () => {
  await vscode.commands.executeCommand('notifications.clearAll');
  const file = join(vscode.extensions.getExtension('gusset.gusset')!.extensionPath, 'out/gusset.mjs');
  const server = readFileSync(file);
  try {
    writeFileSync(file, 'throw new Error("nothing to start with");\n');
    await vscode.commands.executeCommand('gusset.restartServer');
    await staysStopped();
    // Meanwhile others say what they have to say.
    await vscode.commands.executeCommand('gusset.showMarginSheet');
    await page.waitFor('.empty:has-text("The language server is not running")', { webview: true });
    await keepsNobodyOut('.empty');
    const said = await page.evaluate<string[]>(
      '[...document.querySelectorAll(".notifications-center .notification-list-item")].map(item => item.textContent)',
    );
    await page.screenshot('server-stopped');
    expect(
      said.length === 1 &&
        /The Gusset language server ended \d times in 3 minutes and stays stopped/.test(said[0]!) &&
        said[0]!.includes('Show Log'),
      said.join('\n'),
    );
    await page.click('.notifications-center .monaco-button:has-text("Show Log")');
    await page.waitFor('.output-view-container, [id="workbench.panel.output"]');
  } finally {
    writeFileSync(file, server);
    await vscode.commands.executeCommand('gusset.restartServer');
  }
  await vscode.commands.executeCommand('workbench.action.closePanel');
  await finding('thermal.gus', 'failing-margin');
});

test('the command restarts it', async () => {
  const before = await eventually('a server process', serverProcess);
  await vscode.commands.executeCommand('gusset.restartServer');
  await eventually('another server', () => serverProcess() !== undefined && serverProcess() !== before);
  await finding('thermal.gus', 'failing-margin');
});

test('the log can be shown', async () => {
  await vscode.commands.executeCommand('gusset.showLog');
  await page.waitFor('.output-view-container, [id="workbench.panel.output"]');
  await vscode.commands.executeCommand('workbench.action.closePanel');
});

test('commands have their titles in the palette', async () => {
  const { packageJSON } = vscode.extensions.getExtension('gusset.gusset')!;
  const registered = await vscode.commands.getCommands(true);
  for (const { command, title } of packageJSON.contributes.commands)
    expect(registered.includes(command) && title, `${command} is not registered or has no title`);
  await vscode.commands.executeCommand('workbench.action.quickOpen', '>Gusset: ');
  await page.waitFor('.quick-input-list [aria-label*="Gusset: Restart Language Server"]');
  await vscode.commands.executeCommand('workbench.action.closeQuickOpen');
});

test('a definition in the formula library opens, read-only', async () => {
  const editor = await open('thermal.gus');
  const at = rangeOf(editor, 'bending_stress').start;
  const [definition] = await eventually('a definition', async () => {
    const found = await vscode.commands.executeCommand<(vscode.Location | vscode.LocationLink)[]>(
      'vscode.executeDefinitionProvider',
      editor.document.uri,
      at,
    );
    return found.length > 0 && found;
  });
  const uri = 'uri' in definition! ? definition.uri : definition!.targetUri;
  const range = 'uri' in definition! ? definition.range : definition!.targetRange;
  expect(uri.scheme === 'gusset', uri.toString());
  const shown = await vscode.window.showTextDocument(await vscode.workspace.openTextDocument(uri), {
    selection: range,
  });
  expect(
    shown.document.getText(range).includes('bending_stress') && shown.document.languageId === 'gusset',
    shown.document.getText(range),
  );
  await page.type('x');
  expect(!shown.document.isDirty, 'a library document could be edited');
});
