import * as vscode from 'vscode';
import { eventually, expect, finding, findings, open, rangeOf, uriOf, withCode } from '../support/editor.js';
import { page } from '../support/page.js';
import { test } from '../support/runner.js';

async function exists(uri: vscode.Uri): Promise<boolean> {
  return vscode.workspace.fs.stat(uri).then(
    () => true,
    () => false,
  );
}

async function keystrokes(editor: vscode.TextEditor, text: string): Promise<void> {
  for (const character of text)
    await editor.edit(edit => edit.insert(editor.selection.active, character), {
      undoStopBefore: false,
      undoStopAfter: false,
    });
}

test('a click on the counts opens the requirements', async () => {
  await open('thermal.gus');
  await finding('thermal.gus', 'failing-margin');
  await page.click('.statusbar-item:has-text("1 failing")');
  await page.waitFor('[id="workbench.parts.sidebar"] .pane-header:has-text("Requirements")');
});

test('the report tells versions, settings and counts, and nothing of the files', async () => {
  await vscode.commands.executeCommand('gusset.copyReport');
  const text = await eventually('a report', async () => {
    const copied = await vscode.env.clipboard.readText();
    return copied.startsWith('Gusset ') && copied;
  });
  for (const words of [
    'Language server: running',
    '74 requirements (1 failing',
    'gusset.calmDelay = 250',
    vscode.version,
  ])
    expect(text.includes(words), text);
  for (const words of ['THM', 'Cordgrass', 'cordgrass', '/', '.gus'])
    expect(!text.includes(words), `${words} in\n${text}`);
});

/** What has to wait for this is never seen. */
const FOREVER = 600_000;

test('a finding waits until typing rests, and one that is mended goes at once', async () => {
  const calmDelay = (milliseconds: number | undefined) =>
    vscode.workspace.getConfiguration('gusset').update('calmDelay', milliseconds, vscode.ConfigurationTarget.Global);
  await calmDelay(1500);
  const editor = await open('thermal.gus');
  const at = rangeOf(editor, 'b = width').end;
  editor.selection = new vscode.Selection(at, at);
  const unknown = withCode('unknown-name');
  const start = Date.now();
  await keystrokes(editor, 'xy');
  await finding('thermal.gus', 'unknown-name', 'widthxy');
  const waited = Date.now() - start;
  await calmDelay(FOREVER);
  for (let count = 0; count < 2; count++)
    await editor.edit(edit =>
      edit.delete(new vscode.Range(editor.selection.active.translate(0, -1), editor.selection.active)),
    );
  await eventually('the finding gone', () => !findings('thermal.gus').some(unknown));
  await calmDelay(undefined);
  expect(waited >= 1500, `it was shown after ${waited} ms`);
});

test('what is pasted is judged at once', async () => {
  await vscode.workspace.getConfiguration('gusset').update('calmDelay', FOREVER, vscode.ConfigurationTarget.Global);
  const editor = await open('thermal.gus');
  await editor.edit(edit => edit.replace(rangeOf(editor, 'b = width'), 'b = widht'));
  await finding('thermal.gus', 'unknown-name', 'widht');
  await editor.edit(edit => edit.replace(rangeOf(editor, 'b = widht'), 'b = width'));
  await vscode.workspace.getConfiguration('gusset').update('calmDelay', undefined, vscode.ConfigurationTarget.Global);
});

test('the example is created in a folder of its own, beside one that is there', async () => {
  const parent = vscode.Uri.joinPath(uriOf(''), '..', 'examples');
  const first = await vscode.commands.executeCommand<vscode.Uri>('gusset.createExample', parent);
  const second = await vscode.commands.executeCommand<vscode.Uri>('gusset.createExample', parent);
  expect(first.path.endsWith('/bracket') && second.path.endsWith('/bracket-2'), `${first.path}, ${second.path}`);
  for (const file of ['bracket.gus', 'certs/L-1.txt', 'reports/TR-2.csv'])
    expect(await exists(vscode.Uri.joinPath(second, file)), `${file} is missing`);
  await vscode.commands.executeCommand('notifications.clearAll');
});

test('the check runs as a task, and its findings can be matched', async () => {
  const [task] = await vscode.tasks.fetchTasks({ type: 'gusset' });
  expect(task?.name === 'check' && task.execution instanceof vscode.ProcessExecution, 'no task');
  const run = (each: vscode.Task): Promise<number | undefined> =>
    new Promise(resolve => {
      const listening = vscode.tasks.onDidEndTaskProcess(({ execution, exitCode }) => {
        if (execution.task.name !== each.name) return;
        listening.dispose();
        resolve(exitCode);
      });
      void vscode.tasks.executeTask(each);
    });
  const matched = new vscode.Task(
    task.definition,
    vscode.workspace.workspaceFolders![0]!,
    'matched check',
    'gusset',
    task.execution,
    '$gusset',
  );
  expect((await run(matched)) === 1, 'a failing margin is no failure');
  const fromTask = (): readonly vscode.Diagnostic[] =>
    findings('thermal.gus').filter(each => each.source === 'gusset check');
  const [margin] = await eventually(
    'findings of the task',
    () => fromTask().length > 0 && fromTask(),
    () =>
      vscode.languages
        .getDiagnostics()
        .flatMap(([uri, found]) =>
          found.map(each => `${uri.toString()} ${each.source} ${each.severity} ${each.message.slice(0, 30)}`),
        ),
  );
  expect(
    margin?.severity === vscode.DiagnosticSeverity.Error && margin.message.includes('23.09 MPa against 21.74 MPa'),
    JSON.stringify(margin),
  );
  await page.screenshot('task');
  await vscode.commands.executeCommand('workbench.action.closePanel');
});

test('the page that the package brings holds its pictures', async () => {
  const { extensionUri } = vscode.extensions.getExtension('gusset.gusset')!;
  const [readme] = (await vscode.workspace.fs.readDirectory(extensionUri)).filter(
    ([name]) => name.toLowerCase() === 'readme.md',
  );
  await vscode.commands.executeCommand('markdown.showPreview', vscode.Uri.joinPath(extensionUri, readme![0]));
  const sizes = await eventually('pictures', async () => {
    const widths = await page.evaluate<number[]>(
      '[...document.querySelectorAll("img")].map(image => image.complete ? image.naturalWidth : 0)',
      '#begin',
    );
    return widths.length > 0 && widths.every(width => width > 0) && widths;
  });
  expect(sizes.length === 3, `${sizes.length} pictures`);
  await page.screenshot('extension-page');
});

test('the state of the server stands beside the language', async () => {
  await open('thermal.gus');
  await page.click(
    '.statusbar-item [aria-label*="Editor Language Status"], .statusbar-item:has-text("{ }"), #status\\\\.languageStatus',
  );
  for (const words of ['Language server is running', 'Restart', 'Show Log', 'Copy Report'])
    await page.waitFor(`.hover-language-status :text("${words}")`);
  await page.screenshot('language-status');
  await page.press('Escape');
});

test('how things stand as of another date is shown while it is asked for, and said in the status bar', async () => {
  await vscode.commands.executeCommand('gusset.requirements.focus');
  await open('propulsion.gus');
  void vscode.commands.executeCommand('gusset.judgeAsOf');
  await page.waitFor('.quick-input-list [aria-label^="Date of the revision"]');
  await page.screenshot('judge-as-of');
  await page.type('Another');
  await page.press('Enter');
  await page.waitFor('.quick-input-widget :text("Date by which expiry is judged")');
  await page.type('2031-02-30');
  await page.waitFor('.quick-input-widget :text("Write a date of the calendar")');
  for (let i = 0; i < 2; i++) await page.press('Backspace');
  await page.type('28');
  await page.press('Enter');
  await page.waitFor('.statusbar-item:has-text("as of 2031-02-28")');
  await page.waitFor('.statusbar-item:has-text("2 failing")');
  await page.waitFor('[id="workbench.parts.sidebar"] .monaco-list-row[aria-label*="failing -0.05"]');
  await page.screenshot('as-of');
  await vscode.commands.executeCommand('gusset.restartServer');
  await page.waitFor('.statusbar-item:has-text("2 failing")');
  await vscode.commands.executeCommand('gusset.judgeAsOf', null);
  await page.waitFor('.statusbar-item:has-text("1 failing")');
  await page.waitFor('.statusbar-item:has-text("as of")', { state: 'hidden' });
});
