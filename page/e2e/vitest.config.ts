import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

// A person at the page: the real server with a book of its own, in a real browser. Drawn by software, so patience is large;
// what is asserted is never how long something took.
export default defineConfig({
  test: {
    root: fileURLToPath(new URL('.', import.meta.url)),
    include: ['*.e2e.ts'],
    testTimeout: 300_000,
    hookTimeout: 120_000,
    fileParallelism: false,
    maxConcurrency: 1,
  },
})
