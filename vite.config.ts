import react from '@vitejs/plugin-react';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  plugins: [react()],
  worker: { format: 'es' },
  build: { target: 'es2023', assetsInlineLimit: 0, chunkSizeWarningLimit: 1200 },
  test: {
    include: ['tests/**/*.test.{ts,tsx}'],
    globalSetup: ['tests/setup/global-setup.ts'],
    // .ci/run reads the counts from the JSON report.
    reporters: process.env.CI ? ['default', ['json', { outputFile: 'out/test-results.json' }]] : ['default'],
    testTimeout: 60_000,
    hookTimeout: 120_000,
    // Two cores and large photos: more workers only swap.
    maxWorkers: 2,
  },
});
