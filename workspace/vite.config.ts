import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vite';

// Built files are committed and shipped in the wheel; a rebuild gives the same bytes.
export default defineConfig({
  base: './',
  plugins: [svelte()],
  build: {
    outDir: '../src/bathybore/web/static',
    emptyOutDir: true,
    target: 'es2022',
    modulePreload: false,
    assetsInlineLimit: 0,
  },
  server: { proxy: { '/api': { target: 'http://127.0.0.1:8137', ws: true } } },
});
