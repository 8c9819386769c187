import { createHash } from 'node:crypto';
import react from '@vitejs/plugin-react';
import type { Plugin } from 'vite';
import { VitePWA } from 'vite-plugin-pwa';
import { defineConfig } from 'vitest/config';

/** The two style elements that react-aria puts into the page, letter by letter: their hashes let them, and no others, in. */
const REACT_ARIA_STYLES = [
  '@layer {\n  [data-react-aria-pressable] {\n    touch-action: pan-x pan-y pinch-zoom;\n  }\n}',
  '@layer {\n  * {\n    overscroll-behavior: contain;\n  }\n}',
];
const styleHashes = REACT_ARIA_STYLES.map(
  (text) => `'sha256-${createHash('sha256').update(text).digest('base64')}'`,
);

/** What a page of the app may do: nothing from elsewhere, nothing inline; wasm is compiled by the engine's worker. */
const POLICY = [
  "default-src 'self'",
  "script-src 'self' 'wasm-unsafe-eval'",
  `style-src 'self' ${styleHashes.join(' ')}`,
  "img-src 'self' blob: data:",
  "worker-src 'self'",
  "connect-src 'self'",
  "object-src 'none'",
  "base-uri 'none'",
  "form-action 'none'",
].join('; ');

/** Puts the policy into the built page only: the development server works with inline scripts. */
function contentPolicy(): Plugin {
  return {
    name: 'content-policy',
    apply: 'build',
    transformIndexHtml: () => [
      {
        tag: 'meta',
        attrs: { 'http-equiv': 'Content-Security-Policy', content: POLICY },
        injectTo: 'head-prepend',
      },
    ],
  };
}

const offline = VitePWA({
  // A new version waits until the last tab of the old one is closed: no page changes under the maker's hands.
  registerType: 'prompt',
  injectRegister: 'script-defer',
  manifest: {
    name: 'Foamwright',
    short_name: 'Foamwright',
    description: 'One phone photo of a paper mock-up in, one true-scale printable foam template out.',
    start_url: '.',
    display: 'standalone',
    background_color: '#f5f0e6',
    theme_color: '#fffcf6',
    icons: [
      { src: 'icons/icon-192.png', sizes: '192x192', type: 'image/png' },
      { src: 'icons/icon-512.png', sizes: '512x512', type: 'image/png' },
      { src: 'icons/icon-maskable-512.png', sizes: '512x512', type: 'image/png', purpose: 'maskable' },
      { src: 'icon.svg', sizes: 'any', type: 'image/svg+xml' },
    ],
  },
  workbox: {
    globPatterns: ['**/*.{js,css,html,svg,png,wasm}'],
    // The vision engine is 12 MB; without it nothing can be measured offline.
    maximumFileSizeToCacheInBytes: 24 * 1024 * 1024,
    // The demo's photos are fetched, and then kept, when the demo is first opened.
    runtimeCaching: [
      {
        urlPattern: /\/demo\/[\w-]+\.jpg$/u,
        handler: 'CacheFirst',
        options: { cacheName: 'demo', expiration: { maxEntries: 8 } },
      },
    ],
  },
});

export default defineConfig({
  plugins: [react(), contentPolicy(), offline],
  worker: { format: 'es' },
  build: { target: 'es2023', assetsInlineLimit: 0, chunkSizeWarningLimit: 1200 },
  test: {
    include: ['tests/**/*.test.{ts,tsx}'],
    globalSetup: ['tests/setup/global-setup.ts'],
    setupFiles: ['tests/setup/fixed-seed.ts'],
    // .ci/run reads the counts from the JSON report.
    reporters: process.env.CI ? ['default', ['json', { outputFile: 'out/test-results.json' }]] : ['default'],
    testTimeout: 60_000,
    hookTimeout: 120_000,
    // Two cores and large photos: more workers only swap.
    maxWorkers: 2,
  },
});
