import { defineConfig } from 'vite';

export default defineConfig({
  root: import.meta.dirname,
  base: '/',
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  build: {
    outDir: '../../dist/dashboard/web',
    emptyOutDir: true,
    target: 'es2022',
    // The chart library is a chunk of its own, fetched with the first picture.
    chunkSizeWarningLimit: 5000,
  },
});
