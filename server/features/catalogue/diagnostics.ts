import type { Diagnostic } from 'vscode-languageserver-types';
import { contentHash } from '../../base/index.js';
import { diagnosticsOf } from '../diagnostics.js';
import { feature, type FeatureContext } from '../feature.js';

type Report =
  | { readonly kind: 'unchanged'; readonly resultId: string }
  | { readonly kind: 'full'; readonly resultId: string; readonly items: readonly Diagnostic[] };

/** Files looked at between two chances for others to come in between. */
const FILES_AT_ONCE = 20;

/** Findings for editors that ask for them (`docs/decisions/0009-findings-pushed-or-pulled.md`). */
export default [
  feature(
    'textDocument/diagnostic',
    { diagnosticProvider: { identifier: 'gusset', interFileDependencies: true, workspaceDiagnostics: true } },
    (context, params: { readonly previousResultId?: string }) =>
      reportOf(context, context.file, params.previousResultId),
  ),
  feature(
    'workspace/diagnostic',
    {},
    async (
      context,
      params: { readonly previousResultIds?: readonly { readonly uri: string; readonly value: string }[] },
    ) => {
      const before = new Map((params.previousResultIds ?? []).map(({ uri, value }) => [uri, value]));
      const items: (Report & { readonly uri: string; readonly version: number | null })[] = [];
      let count = 0;
      for (const file of new Set(context.projects.flatMap(project => project.files))) {
        const uri = context.uri(file);
        items.push({ ...reportOf(context, file, before.get(uri)), uri, version: context.version(file) });
        if (++count % FILES_AT_ONCE === 0) await context.pause();
      }
      return { items };
    },
  ),
];

/** The same findings have the same id, so that nothing is sent twice. */
function reportOf(context: FeatureContext, file: string, previous: string | undefined): Report {
  const items = diagnosticsOf(context, context.findings(file));
  const resultId = contentHash(JSON.stringify(items));
  return resultId === previous ? { kind: 'unchanged', resultId } : { kind: 'full', resultId, items };
}
