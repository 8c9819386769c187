import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const PROJECT = fileURLToPath(new URL('../..', import.meta.url));

export interface HeadlessRun {
  readonly exitCode: number;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs `npm run --silent headless -- ...` as a shell would. */
export function runHeadless(...args: readonly string[]): Promise<HeadlessRun> {
  return new Promise((resolve, reject) => {
    const command = ['run', '--silent', 'headless', '--', ...args];
    execFile('npm', command, { cwd: PROJECT, encoding: 'utf8' }, (error, stdout, stderr) => {
      if (error && typeof error.code !== 'number') reject(error);
      else resolve({ exitCode: Number(error?.code ?? 0), stdout, stderr });
    });
  });
}

/** A fresh folder that is gone after the work. */
export async function inFolder<T>(work: (folder: string) => Promise<T>): Promise<T> {
  const folder = mkdtempSync(join(tmpdir(), 'foamwright-'));
  try {
    return await work(folder);
  } finally {
    rmSync(folder, { recursive: true });
  }
}
