/** A page inside an editor, where the editor shows one page after the other. */
import type { FromReference, ReferenceState } from '../../client/panels/reference/messages.js';

interface Editor {
  postMessage(message: FromReference): void;
  setState(state: ReferenceState): void;
}
declare global {
  var acquireVsCodeApi: (() => Editor) | undefined;
}

/** `root`: from the page to the site. Nothing in a browser. */
export function followEditor(root: string): void {
  const editor = globalThis.acquireVsCodeApi?.();
  if (!editor) return;
  const { url, fragment } = document.documentElement.dataset;
  editor.setState({ url: url! });
  // The editor scrolls to where the page before stood, unless this one has moved itself.
  scrollTo(0, 1);
  if (fragment) document.getElementById(decodeURIComponent(fragment))?.scrollIntoView();
  const site = new URL(root, document.baseURI).href;
  // Before the editor's own listener, which would open the link outside.
  addEventListener(
    'click',
    event => {
      const link = (event.target as Element).closest('a');
      if (!link?.href.startsWith(site) || link.getAttribute('href')!.startsWith('#')) return;
      event.preventDefault();
      event.stopImmediatePropagation();
      editor.postMessage({ kind: 'open', url: link.href.slice(site.length) });
    },
    true,
  );
  // Before the editor, which goes back by the same keys, from this panel to another.
  addEventListener(
    'keydown',
    event => {
      if (!event.altKey || event.key !== 'ArrowLeft') return;
      event.preventDefault();
      event.stopImmediatePropagation();
      editor.postMessage({ kind: 'back' });
    },
    true,
  );
  addEventListener('mouseup', event => {
    if (event.button === 3) editor.postMessage({ kind: 'back' });
  });
}
