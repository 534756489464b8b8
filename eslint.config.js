import js from '@eslint/js';
import tseslint from 'typescript-eslint';

const PURE = ['server/{contract,estimate,safety,alarms,plan,review}/**/*.ts'];
const noClock = [
  {
    selector: "CallExpression[callee.object.name='Date'][callee.property.name='now']",
    message: 'Time is an argument here (nowMs).',
  },
  {
    selector: "NewExpression[callee.name='Date'][arguments.length=0]",
    message: 'Time is an argument here (nowMs).',
  },
];
const noChance = [
  {
    selector: "CallExpression[callee.object.name='Math'][callee.property.name='random']",
    message: 'Randomness is a seeded generator here.',
  },
];

export default tseslint.config(
  { ignores: ['dist/', 'data/', 'coverage/', 'node_modules/'] },
  js.configs.recommended,
  {
    files: ['**/*.{ts,tsx}'],
    extends: [...tseslint.configs.strictTypeChecked],
    languageOptions: { parserOptions: { projectService: true, tsconfigRootDir: import.meta.dirname } },
    rules: {
      '@typescript-eslint/switch-exhaustiveness-check': [
        'error',
        { considerDefaultExhaustiveForUnions: true },
      ],
      '@typescript-eslint/restrict-template-expressions': [
        'error',
        { allowNumber: true, allowBoolean: true },
      ],
      '@typescript-eslint/no-confusing-void-expression': ['error', { ignoreArrowShorthand: true }],
      '@typescript-eslint/no-non-null-assertion': 'error',
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/no-unnecessary-type-parameters': 'off',
      'no-restricted-exports': [
        'error',
        {
          restrictDefaultExports: {
            direct: true,
            named: true,
            defaultFrom: true,
            namedFrom: true,
            namespaceFrom: true,
          },
        },
      ],
      'max-lines': ['error', { max: 400, skipBlankLines: true, skipComments: true }],
      'max-lines-per-function': ['error', { max: 80, skipBlankLines: true, skipComments: true }],
      complexity: ['error', 20],
      eqeqeq: ['error', 'always', { null: 'ignore' }],
    },
  },
  {
    files: PURE,
    rules: {
      'no-restricted-syntax': ['error', ...noClock, ...noChance],
      'no-restricted-globals': [
        'error',
        'process',
        'setTimeout',
        'setInterval',
        'setImmediate',
        'fetch',
        'performance',
      ],
    },
  },
  {
    files: ['server/runtime/**/*.ts'],
    rules: { 'no-restricted-syntax': ['error', ...noClock, ...noChance] },
  },
  { files: ['simulator/**/*.ts'], rules: { 'no-restricted-syntax': ['error', ...noChance] } },
  {
    files: ['test/**/*.{ts,tsx}'],
    rules: {
      'max-lines': ['error', { max: 600, skipBlankLines: true, skipComments: true }],
      'max-lines-per-function': 'off',
      '@typescript-eslint/no-non-null-assertion': 'off',
    },
  },
  {
    files: ['vitest.config.ts', 'vite.config.ts'],
    rules: { 'no-restricted-exports': 'off' },
  },
  {
    files: ['**/*.{js,cjs}'],
    extends: [tseslint.configs.disableTypeChecked],
    languageOptions: { globals: { module: 'writable' } },
  },
);
