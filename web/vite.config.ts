// Builds the desk: web/ → web/dist, served at "/". No inline scripts or styles, for the page's own security policy.
import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

export default defineConfig({
  root: fileURLToPath(new URL('.', import.meta.url)),
  base: '/',
  plugins: [react()],
  // Data addresses would need a wider policy for fonts and scripts; every asset is a file.
  build: {
    outDir: 'dist',
    emptyOutDir: true,
    assetsInlineLimit: 0,
    target: 'es2022',
    reportCompressedSize: false,
    rolldownOptions: {
      output: {
        // What others made changes seldom: the browser keeps it over our own changes.
        codeSplitting: {
          groups: [
            { name: 'react', test: /node_modules[\\/](react|react-dom|react-router|scheduler)[\\/]/ },
            { name: 'libraries', test: /node_modules[\\/]/ },
          ],
        },
      },
    },
  },
});
