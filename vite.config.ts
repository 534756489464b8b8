import { defineConfig } from 'vite';

export default defineConfig({
  root: 'web',
  base: '/',
  esbuild: { jsx: 'automatic', jsxImportSource: 'preact' },
  build: { outDir: '../dist/web', emptyOutDir: true, sourcemap: false, target: 'es2022' },
});
