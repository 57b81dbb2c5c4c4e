import { defineConfig } from 'vitest/config';

export default defineConfig({
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  css: { modules: { localsConvention: 'camelCaseOnly' } },
  build: {
    target: 'es2022',
    assetsInlineLimit: 0, // no data: addresses, so the content security policy stays tight
    rolldownOptions: {
      input: { main: 'index.html', sw: 'src/sw/sw.ts' },
      output: { entryFileNames: (chunk) => (chunk.name === 'sw' ? 'sw.js' : 'assets/[name]-[hash].js') },
    },
  },
  worker: { format: 'es' },
  server: { proxy: { '/api': 'http://127.0.0.1:8080' } }, // `fairmeasure demo` beside `vite`
  test: {
    include: ['src/**/*.test.{ts,tsx}'],
    setupFiles: ['src/app/testing/clock.ts', 'src/app/testing/words.ts'],
    testTimeout: 60_000, // no test is about time
    hookTimeout: 60_000,
  },
});
