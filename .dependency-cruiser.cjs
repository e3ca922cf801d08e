// The levels of server/ as dependency rules, built from scripts/layers.json.
const layers = require('./scripts/layers.json');

const packagePaths = {
  langium: 'langium/lib/(?!lsp/|node/)',
  'langium/lsp': 'langium/lib/lsp/',
  'langium/node': 'langium/lib/node/',
};
const ours = '^(server|client|site|tests|scripts)/';
const packageKinds = ['npm', 'npm-dev', 'npm-no-pkg', 'npm-unknown', 'npm-peer', 'npm-optional'];

const layerRules = Object.entries(layers).flatMap(([name, layer]) => {
  const from = { path: `^server/${name}/` };
  const packages = layer.packages.filter(each => each !== 'node:*').map(each => packagePaths[each] ?? `${each}/`);
  const rules = [
    {
      name: `server/${name} looks down only`,
      severity: 'error',
      comment: layer.purpose,
      from,
      to: { path: ours, pathNot: `^server/(${[name, ...layer.may].join('|')})/` },
    },
    {
      name: `server/${name} uses its own packages only`,
      severity: 'error',
      from,
      to: {
        dependencyTypes: packageKinds,
        ...(packages.length ? { pathNot: `node_modules/(${packages.join('|')})` } : {}),
      },
    },
  ];
  if (!layer.packages.includes('node:*')) {
    rules.push({ name: `server/${name} is platform free`, severity: 'error', from, to: { dependencyTypes: ['core'] } });
  }
  return rules;
});

module.exports = {
  forbidden: [
    ...layerRules,
    {
      name: 'every server folder has a level',
      severity: 'error',
      from: { path: '^server/', pathNot: `^server/(${Object.keys(layers).join('|')})/` },
      to: {},
    },
    {
      name: 'client sees message types only',
      severity: 'error',
      from: { path: '^client/' },
      to: { path: '^server/', pathNot: '^server/protocol/' },
    },
    { name: 'everything resolves', severity: 'error', from: {}, to: { couldNotResolve: true, pathNot: '^vscode$' } },
    { name: 'no cycles', severity: 'error', from: { pathNot: '/generated/' }, to: { circular: true } },
  ],
  options: {
    tsConfig: { fileName: 'tsconfig.json' },
    tsPreCompilationDeps: true,
    // Without these, packages that use "exports" are silently ignored.
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'require', 'node', 'default', 'types'],
    },
    doNotFollow: { path: 'node_modules' },
  },
};
