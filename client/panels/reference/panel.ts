/** The documentation that comes with the extension, in the editor: its pages as they are, with links that lead on. */
import * as vscode from 'vscode';
import type { FromReference, ReferenceState } from './messages.js';

const viewType = 'gusset.reference';
const START = 'index.html';
/** Paths of pages, as they stand in links. */
const PAGE = /^[\w.%-]+(?:\/[\w.%-]+)*\.html$/;

export function activateReference(context: vscode.ExtensionContext): void {
  let open: Reference | undefined;
  const adopt = (panel: vscode.WebviewPanel): Reference => {
    const reference = new Reference(panel, context.extensionUri);
    open = reference;
    panel.onDidDispose(() => {
      if (open === reference) open = undefined;
    });
    return reference;
  };
  context.subscriptions.push(
    vscode.commands.registerCommand('gusset.openReference', async (url?: unknown) => {
      const reference =
        open ??
        adopt(
          vscode.window.createWebviewPanel(viewType, 'Gusset Reference', vscode.ViewColumn.Active, {
            enableFindWidget: true,
          }),
        );
      reference.reveal();
      if (typeof url === 'string' || !reference.shown) await reference.show(typeof url === 'string' ? url : START);
    }),
    vscode.window.registerWebviewPanelSerializer(viewType, {
      deserializeWebviewPanel: (panel, state: ReferenceState | undefined) => adopt(panel).show(state?.url ?? START),
    }),
    { dispose: () => open?.dispose() },
  );
}

class Reference implements vscode.Disposable {
  private readonly docs: vscode.Uri;
  /** Pages that led to the one that is shown, which is the last. */
  private readonly trail: string[] = [];

  constructor(
    private readonly panel: vscode.WebviewPanel,
    extension: vscode.Uri,
  ) {
    this.docs = vscode.Uri.joinPath(extension, 'out', 'docs');
    panel.iconPath = vscode.Uri.joinPath(extension, 'client', 'file-icon.svg');
    panel.webview.options = { enableScripts: true, localResourceRoots: [this.docs] };
    panel.webview.onDidReceiveMessage(async (message: FromReference) => {
      if (message.kind === 'open') return this.show(message.url);
      if (this.trail.length < 2) return;
      this.trail.pop();
      await this.show(this.trail.pop()!);
    });
  }

  get shown(): boolean {
    return this.trail.length > 0;
  }

  reveal(): void {
    this.panel.reveal();
  }

  async show(url: string): Promise<void> {
    const [path = '', fragment = ''] = url.split('#');
    if (!PAGE.test(path) || path.includes('..')) return;
    const file = vscode.Uri.joinPath(this.docs, decodeURIComponent(path));
    try {
      const page = new TextDecoder().decode(await vscode.workspace.fs.readFile(file));
      this.trail.push(url);
      this.panel.webview.html = inEditor(page, this.panel.webview, vscode.Uri.joinPath(file, '..'), { url, fragment });
    } catch {
      void vscode.window.showErrorMessage(
        `The page ${path} is not among those that come with the extension. Install the extension again.`,
      );
    }
  }

  dispose(): void {
    this.panel.dispose();
  }
}

/** Scripts, styles and links are found from the folder of the page. Its pictures stay out of the extension. */
function inEditor(
  page: string,
  webview: vscode.Webview,
  folder: vscode.Uri,
  { url, fragment }: { readonly url: string; readonly fragment: string },
): string {
  const policy = `default-src 'none'; style-src ${webview.cspSource}; script-src ${webview.cspSource}`;
  return page
    .replace('<html ', `<html data-url="${attribute(url)}" data-fragment="${attribute(fragment)}" `)
    .replace(
      '<head>',
      `<head>\n<meta http-equiv="Content-Security-Policy" content="${policy}">\n<base href="${webview.asWebviewUri(folder).toString()}/">`,
    )
    .replace(/<img [^>]*\balt="([^"]*)"[^>]*>/g, '<em>$1</em>');
}

function attribute(text: string): string {
  return text.replace(/[&<>"]/g, character => `&#${character.charCodeAt(0)};`);
}
