/** Copies the example project into a new folder and opens it. */
import * as vscode from 'vscode';

/** All files of the example; in a browser a folder of the extension can't be listed. */
export const exampleFiles: readonly string[] = [
  'bracket.gus',
  'certs/L-1.txt',
  'certs/L-2.txt',
  'reports/TR-1.csv',
  'reports/TR-2.csv',
];
const name = 'bracket';
const attempts = 100;

export function activateExample(context: vscode.ExtensionContext): void {
  context.subscriptions.push(
    vscode.commands.registerCommand('gusset.createExample', async (parent?: vscode.Uri) => {
      const wanted = parent ? await freeFolder(parent) : await chooseFolder();
      if (!wanted) return undefined;
      try {
        const folder = await copyExample(vscode.Uri.joinPath(context.extensionUri, 'examples', name), wanted);
        await openFolder(folder);
        return folder;
      } catch (error) {
        void vscode.window.showErrorMessage(
          vscode.l10n.t('The example was not created: {0}', error instanceof Error ? error.message : String(error)),
        );
        return undefined;
      }
    }),
  );
}

/** A folder that need not be there yet; one that is there gets another inside it. */
async function chooseFolder(): Promise<vscode.Uri | undefined> {
  const here = vscode.workspace.workspaceFolders?.[0]?.uri;
  const chosen = await vscode.window.showSaveDialog({
    saveLabel: vscode.l10n.t('Create Here'),
    title: vscode.l10n.t('New Folder for the Example Project'),
    ...(here ? { defaultUri: vscode.Uri.joinPath(here, name) } : {}),
  });
  return chosen && (await exists(chosen)) ? freeFolder(chosen) : chosen;
}

/** Into a folder that was not there before, so that no file is overwritten. */
async function copyExample(source: vscode.Uri, folder: vscode.Uri): Promise<vscode.Uri> {
  const { fs } = vscode.workspace;
  const contents = await Promise.all(
    exampleFiles.map(async file => [file, await fs.readFile(vscode.Uri.joinPath(source, file))] as const),
  );
  await fs.createDirectory(folder);
  for (const [file, bytes] of contents) await fs.writeFile(vscode.Uri.joinPath(folder, file), bytes);
  return folder;
}

function exists(uri: vscode.Uri): Thenable<boolean> {
  return vscode.workspace.fs.stat(uri).then(
    () => true,
    () => false,
  );
}

async function freeFolder(parent: vscode.Uri): Promise<vscode.Uri | undefined> {
  for (let attempt = 1; attempt <= attempts; attempt++) {
    const folder = vscode.Uri.joinPath(parent, attempt === 1 ? name : `${name}-${attempt}`);
    if (!(await exists(folder))) return folder;
  }
  void vscode.window.showErrorMessage(
    vscode.l10n.t(
      'The example was not created: {0}',
      vscode.l10n.t('the folder holds {0} copies of it already.', attempts),
    ),
  );
  return undefined;
}

async function openFolder(folder: vscode.Uri): Promise<void> {
  if (!vscode.workspace.workspaceFolders?.length)
    return void vscode.commands.executeCommand('vscode.openFolder', folder);
  const [here, newWindow, file] = [
    vscode.l10n.t('Open Folder'),
    vscode.l10n.t('Open in New Window'),
    vscode.l10n.t('Show File'),
  ];
  void vscode.window
    .showInformationMessage(vscode.l10n.t('The example project stands in {0}.', folder.fsPath), here, newWindow, file)
    .then(choice => {
      if (choice === file) void vscode.window.showTextDocument(vscode.Uri.joinPath(folder, exampleFiles[0]!));
      else if (choice)
        void vscode.commands.executeCommand('vscode.openFolder', folder, { forceNewWindow: choice === newWindow });
    });
}
