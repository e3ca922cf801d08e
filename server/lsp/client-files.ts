/** Files that only the editor can reach: in a browser, or behind one of its file systems. */
import type { Connection } from 'vscode-languageserver';
import { decodeText } from '../project/data-files/decode-text.js';
import { isOutside } from '../project/paths.js';
import { fromBase64 } from '../protocol/base64.js';
import { fileExistsMessage, listFilesMessage, readFileMessage, type Message } from '../protocol/messages.js';
import type { Unreadable, WorkspaceFiles } from './workspace.js';

const sourceSizeLimit = 16 * 2 ** 20;
const dataSizeLimit = 64 * 2 ** 20;
const readsAtOnce = 16;

export class ClientFiles implements WorkspaceFiles {
  constructor(
    private readonly connection: Connection,
    private readonly folder: string,
  ) {}

  async sources(): Promise<ReadonlyMap<string, string | Unreadable>> {
    return this.readSources(await this.ask(listFilesMessage, { folder: this.folder }));
  }

  async library(path: string): Promise<{ sources: ReadonlyMap<string, string | Unreadable> } | { message: string }> {
    if (isOutside(path)) return { message: `${path} lies outside the folder that is open` };
    const text = await this.text(path);
    if (text !== null) return { sources: new Map([[path, text]]) };
    return { sources: await this.readSources(await this.ask(listFilesMessage, { folder: this.folder, path })) };
  }

  private async readSources(paths: readonly string[]): Promise<ReadonlyMap<string, string | Unreadable>> {
    const texts = new Map<string, string | Unreadable>();
    for (let start = 0; start < paths.length; start += readsAtOnce) {
      const batch = paths.slice(start, start + readsAtOnce);
      const read = await Promise.all(batch.map(path => this.text(path)));
      read.forEach((text, index) => {
        if (text !== null) texts.set(batch[index]!, text);
      });
    }
    return texts;
  }

  async text(path: string): Promise<string | Unreadable | null> {
    const bytes = await this.read(path, sourceSizeLimit);
    if (!(bytes instanceof Uint8Array)) return (await this.exists(path)) ? { ...bytes, line: null } : null;
    const decoded = decodeText(bytes);
    return 'message' in decoded ? { message: `${path} ${decoded.message}`, line: decoded.line } : decoded.text;
  }

  bytes(path: string): Promise<Uint8Array | { readonly message: string }> {
    return this.read(path, dataSizeLimit);
  }

  exists(path: string): Promise<boolean> {
    return this.ask(fileExistsMessage, { folder: this.folder, path });
  }

  private async read(path: string, sizeLimit: number): Promise<Uint8Array | { readonly message: string }> {
    const answer = await this.ask(readFileMessage, { folder: this.folder, path, sizeLimit });
    return 'problem' in answer ? { message: answer.problem } : fromBase64(answer.base64);
  }

  private ask<Params, Result>(message: Message<Params, Result>, params: Params): Promise<Result> {
    return this.connection.sendRequest<Result>(message.method, params);
  }
}
