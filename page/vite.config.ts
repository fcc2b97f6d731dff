import { defineConfig } from 'vite'

// The page lies wherever the server puts it, asks nobody else for anything, and runs under a policy without inline code.
export default defineConfig({
  base: './',
  build: {
    target: 'es2022',
    modulePreload: false,
    assetsInlineLimit: 0,
    chunkSizeWarningLimit: 1200,
    reportCompressedSize: false,
  },
  worker: { format: 'es' },
})
