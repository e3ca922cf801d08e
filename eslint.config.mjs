import stylistic from '@stylistic/eslint-plugin';
import tseslint from 'typescript-eslint';

const relativeImportWithoutExtension = {
  selector:
    ':matches(ImportDeclaration, ExportNamedDeclaration, ExportAllDeclaration)[source.value=/^\\.{1,2}\\u002F(?!.*\\.(js|mjs|json)$)/]',
  message: 'Write the extension: a relative import ends in ".js".',
};

const powers = 'Powers are those of engine/operations/power.ts, which every machine has to the last digit.';

const noPrograms = 'Nothing that is opened may start a program: docs/decisions/0013-revisions-without-git.md.';

export default tseslint.config(
  { ignores: ['out/', 'node_modules/', '.tools/', '**/generated/'] },
  tseslint.configs.recommended,
  {
    plugins: { '@stylistic': stylistic },
    rules: {
      '@stylistic/max-len': [
        'error',
        { code: 120, ignoreStrings: true, ignoreTemplateLiterals: true, ignoreRegExpLiterals: true },
      ],
      eqeqeq: ['error', 'always', { null: 'ignore' }],
      'no-restricted-syntax': ['error', relativeImportWithoutExtension],
      'object-shorthand': 'error',
      '@typescript-eslint/consistent-type-imports': ['error', { fixStyle: 'separate-type-imports' }],
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_' }],
    },
  },
  {
    files: ['server/**/*.ts'],
    ignores: ['server/cli/**', 'server/lsp/**'],
    rules: { 'no-console': 'error' },
  },
  {
    files: ['server/**/*.ts', 'client/**/*.ts'],
    rules: {
      'no-restricted-imports': [
        'error',
        { paths: ['child_process', 'node:child_process'].map(name => ({ name, message: noPrograms })) },
      ],
    },
  },
  {
    files: ['server/engine/**/*.ts'],
    rules: {
      'no-restricted-properties': ['error', { object: 'Math', property: 'pow', message: powers }],
      'no-restricted-syntax': [
        'error',
        relativeImportWithoutExtension,
        { selector: 'BinaryExpression[operator="**"]:not([left.type="Literal"])', message: powers },
      ],
    },
  },
  {
    files: ['**/*.cjs'],
    rules: { '@typescript-eslint/no-require-imports': 'off' },
  },
);
