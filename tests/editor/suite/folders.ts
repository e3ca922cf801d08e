import * as vscode from 'vscode';
import { eventually, expect, finding, noFinding, uriOf, withCode } from '../support/editor.js';
import { test } from '../support/runner.js';

const encode = (text: string): Uint8Array => new TextEncoder().encode(text);
const messages = (uri: vscode.Uri): string[] => vscode.languages.getDiagnostics(uri).map(each => each.message);

function shows(uri: vscode.Uri, code: string): Promise<boolean> {
  return eventually(
    `${code} in ${uri.path}`,
    () => vscode.languages.getDiagnostics(uri).some(withCode(code)),
    () => messages(uri),
  );
}

test('a second workspace folder has a project of its own, and its findings go with it', async () => {
  await finding('thermal.gus', 'failing-margin');
  const folder = vscode.Uri.joinPath(uriOf(''), '..', 'other');
  const file = vscode.Uri.joinPath(folder, 'project.gus');
  await vscode.workspace.fs.writeFile(
    file,
    encode(
      'project Other "Other" { date = 2027-01-01 }\nrequirement THM-001 "The other shall hold." {\n  check 3 N <= 2 N\n  verify by analysis\n}\n',
    ),
  );
  vscode.workspace.updateWorkspaceFolders(1, 0, { uri: folder });
  await shows(file, 'failing-margin');
  await noFinding('thermal.gus', 'duplicate-name');
  vscode.workspace.updateWorkspaceFolders(1, 1);
  await eventually(
    'no findings in the other folder',
    () => messages(file).length === 0,
    () => messages(file),
  );
});

/** A file system that only the editor can reach. */
class MemoryFiles implements vscode.FileSystemProvider {
  private readonly changed = new vscode.EventEmitter<vscode.FileChangeEvent[]>();
  readonly onDidChangeFile = this.changed.event;

  constructor(
    private readonly files: Readonly<Record<string, { readonly type: vscode.FileType; readonly text: string }>>,
  ) {}

  stat(uri: vscode.Uri): vscode.FileStat {
    if (uri.path === '/') return { type: vscode.FileType.Directory, ctime: 0, mtime: 0, size: 0 };
    const { type, text } = this.file(uri);
    return { type, ctime: 0, mtime: 0, size: text.length };
  }

  readDirectory(): [string, vscode.FileType][] {
    return Object.entries(this.files).map(([name, { type }]) => [name, type]);
  }

  readFile(uri: vscode.Uri): Uint8Array {
    return encode(this.file(uri).text);
  }

  watch = (): vscode.Disposable => new vscode.Disposable(() => undefined);
  createDirectory = this.refuse;
  writeFile = this.refuse;
  delete = this.refuse;
  rename = this.refuse;

  private file(uri: vscode.Uri): { readonly type: vscode.FileType; readonly text: string } {
    const file = this.files[uri.path.slice(1)];
    if (!file) throw vscode.FileSystemError.FileNotFound(uri);
    return file;
  }

  private refuse(): never {
    throw vscode.FileSystemError.NoPermissions();
  }
}

test('a folder on another file system is read through the editor, and no link in it is followed', async () => {
  const { File, SymbolicLink } = vscode.FileType;
  const provider = vscode.workspace.registerFileSystemProvider(
    'memory',
    new MemoryFiles({
      'project.gus': {
        type: File,
        text: 'project Far "Far" { date = 2027-01-01 }\ntable Run = file("run.csv") { vm as MPa "VM" }\ntable Linked = file("linked.csv") { vm as MPa "VM" }\nrequirement R-1 "The stress shall stay below 100 MPa." {\n  check max(Run.vm) <= 100 MPa\n  verify by analysis\n}\n',
      },
      'run.csv': { type: File, text: 'VM [MPa]\n80\n120\n' },
      'linked.csv': { type: File | SymbolicLink, text: 'VM [MPa]\n80\n' },
    }),
    { isReadonly: true },
  );
  vscode.workspace.updateWorkspaceFolders(1, 0, { uri: vscode.Uri.parse('memory:/'), name: 'far' });
  const file = vscode.Uri.parse('memory:/project.gus');
  await shows(file, 'failing-margin');
  await shows(file, 'data-file');
  expect(
    messages(file).some(message => message.includes('120 MPa')) &&
      messages(file)
        .filter(message => message.includes('.csv'))
        .every(message => message.includes('linked.csv')),
    messages(file).join('\n'),
  );
  vscode.workspace.updateWorkspaceFolders(1, 1);
  await eventually(
    'no findings in the far folder',
    () => messages(file).length === 0,
    () => messages(file),
  );
  provider.dispose();
});
