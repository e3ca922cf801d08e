/**
 * Addresses of documents and folders in one spelling: clients encode them differently, and write drive letters and
 * servers in either case.
 */
import { URI } from 'vscode-uri';

/** An address in its one spelling; a folder without a slash at its end. */
export function normalAddress(address: string): string {
  return parseAddress(address).toString();
}

export function parseAddress(address: string): URI {
  const uri = URI.parse(URI.parse(address).toString());
  const path = uri.path.replace(/(?<=[^/])\/+$/, '');
  return path === uri.path ? uri : uri.with({ path });
}

/** Whether an address in its one spelling is that of something in a folder, or the folder's own. */
export function isInFolder(address: string, folder: string): boolean {
  return address === folder || address.startsWith(folder.endsWith('/') ? folder : `${folder}/`);
}
