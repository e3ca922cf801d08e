/**
 * Lets the server read a workspace that only the editor can reach. No path and no link leads out of a workspace folder.
 */
import * as vscode from 'vscode';
import { toBase64 } from '../../server/protocol/base64.js';
import {
  fileExistsMessage,
  listFilesMessage,
  readFileMessage,
  type FileAddress,
} from '../../server/protocol/messages.js';
import type { ServerLink } from './server-link.js';

const sourceLimit = 20_000;
const depthLimit = 40;

export function activateWorkspaceFiles(link: ServerLink): void {
  link.onRequest(listFilesMessage, async ({ folder, path = '' }) => {
    const root = workspaceFolder(folder);
    const paths: string[] = [];
    if (root && (path === '' || (await inside({ folder, path }, vscode.FileType.Directory))))
      await collect(root, path, paths);
    return paths.sort();
  });
  link.onRequest(readFileMessage, async ({ sizeLimit, ...address }) => {
    const uri = await inside(address, vscode.FileType.File);
    if (!uri) return { problem: `${address.path} does not exist in the workspace.` };
    try {
      const { size } = await vscode.workspace.fs.stat(uri);
      if (size > sizeLimit)
        return {
          problem: `${address.path} has ${megabytes(size)}, more than the ${megabytes(sizeLimit)} allowed here. Split it.`,
        };
      return { base64: toBase64(await vscode.workspace.fs.readFile(uri)) };
    } catch {
      return { problem: `${address.path} could not be read.` };
    }
  });
  link.onRequest(fileExistsMessage, async address => (await inside(address, vscode.FileType.File)) !== undefined);
}

/** What is of a type at an address; undefined where nothing is, or the path or a link on the way leads elsewhere. */
async function inside({ folder, path }: FileAddress, wanted: vscode.FileType): Promise<vscode.Uri | undefined> {
  let uri = workspaceFolder(folder);
  const names = path.split('/');
  if (!uri || names.some(name => name === '' || name === '.' || name === '..' || name.includes('\\'))) return undefined;
  for (const [index, name] of names.entries()) {
    uri = vscode.Uri.joinPath(uri, name);
    const type = await vscode.workspace.fs.stat(uri).then(
      information => information.type,
      () => undefined,
    );
    if (type !== (index < names.length - 1 ? vscode.FileType.Directory : wanted)) return undefined;
  }
  return uri;
}

function workspaceFolder(address: string): vscode.Uri | undefined {
  const normal = (uri: vscode.Uri): string => uri.toString().replace(/(?<=[^/])\/$/, '');
  const uri = normal(vscode.Uri.parse(address));
  return vscode.workspace.workspaceFolders?.find(folder => normal(folder.uri) === uri)?.uri;
}

/** Hidden folders, `node_modules` and links to folders are passed over. */
async function collect(root: vscode.Uri, folder: string, paths: string[]): Promise<void> {
  const entries = await vscode.workspace.fs.readDirectory(vscode.Uri.joinPath(root, folder)).then(
    all => all,
    () => [],
  );
  for (const [name, type] of entries) {
    const path = folder ? `${folder}/${name}` : name;
    if (paths.length >= sourceLimit || name.startsWith('.') || name === 'node_modules') continue;
    if (type === vscode.FileType.File && /\.gus$/i.test(name)) paths.push(path);
    else if (type === vscode.FileType.Directory && path.split('/').length <= depthLimit)
      await collect(root, path, paths);
  }
}

function megabytes(bytes: number): string {
  return `${Math.ceil(bytes / 2 ** 20)} MiB`;
}
