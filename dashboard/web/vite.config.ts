import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { constants, gzipSync } from 'node:zlib';
import { defineConfig, type Plugin } from 'vite';

const outDir = '../../dist/dashboard/web';

export default defineConfig({
  root: import.meta.dirname,
  base: '/',
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  plugins: [compressed()],
  build: {
    outDir,
    emptyOutDir: true,
    target: 'es2022',
    // The chart library is a chunk of its own, fetched with the first picture.
    chunkSizeWarningLimit: 5000,
    // Compressing takes its time, which is no fault to warn of.
    rolldownOptions: { checks: { pluginTimings: false } },
  },
});

/**
 * Writes a gzip of every built file beside it. Not brotli: browsers ask for that over HTTPS and on their own machine
 * only, and it is the phone across the network for which a third of the size matters.
 */
function compressed(): Plugin {
  return {
    name: 'compressed',
    closeBundle() {
      const folder = join(import.meta.dirname, outDir);
      for (const entry of readdirSync(folder, { recursive: true, withFileTypes: true }))
        if (/\.(?:html|css|js|svg)$/.test(entry.name)) compress(join(entry.parentPath, entry.name));
    },
  };
}

function compress(path: string): void {
  writeFileSync(`${path}.gz`, gzipSync(readFileSync(path), { level: constants.Z_BEST_COMPRESSION }));
}
