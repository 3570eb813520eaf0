import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  plugins: [svelte()],
  base: './',
  // Nothing is inlined: the shell's content security policy allows files of the app's own and nothing else.
  build: { target: 'es2022', assetsInlineLimit: 0, modulePreload: { polyfill: false } },
  // State classes are tested with the browser's build of Svelte, in which runes react.
  resolve: process.env.VITEST ? { conditions: ['browser'] } : {},
  test: { environment: 'node', include: ['src/**/*.test.ts'] },
});
