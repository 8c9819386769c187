import { execFileSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { delimiter, join } from 'node:path';

const NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome'];
const FIXED_PLACES = [
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
];

/** Flags under which headless Chromium runs as root, offline and without background traffic. */
export const CHROMIUM_FLAGS = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** Path of a program on PATH, or undefined. */
export function programOnPath(name: string): string | undefined {
  return (process.env.PATH ?? '')
    .split(delimiter)
    .map((folder) => join(folder, name))
    .find((file) => existsSync(file));
}

/** Path of an installed Chromium-like browser, or undefined. CHROMIUM_PATH wins. */
export function findChromium(): string | undefined {
  const named = process.env.CHROMIUM_PATH;
  if (named && existsSync(named)) return named;
  for (const name of NAMES) {
    const found = programOnPath(name);
    if (found) return found;
  }
  return FIXED_PLACES.find((file) => existsSync(file));
}

function isDebianRoot(): boolean {
  return process.platform === 'linux' && process.getuid?.() === 0 && programOnPath('apt-get') !== undefined;
}

/** Installs Debian packages; throws with apt's own words when that fails. */
function aptInstall(packages: readonly string[]): void {
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
  execFileSync('apt-get', ['update', '-qq'], { env, stdio: ['ignore', 'ignore', 'inherit'] });
  execFileSync('apt-get', ['install', '-y', '-qq', '--no-install-recommends', ...packages], {
    env,
    stdio: ['ignore', 'ignore', 'inherit'],
  });
}

const BY_HAND =
  'On Debian or Ubuntu: "sudo apt-get install -y chromium poppler-utils". On macOS: "brew install --cask chromium" and ' +
  '"brew install poppler". If the browser lies elsewhere, set CHROMIUM_PATH to it. Then run "npm test" again.';

/** Makes sure that the browser and poppler, which the tests drive, are there; installs them on Debian as root. */
export function provideTestPrograms(): void {
  const missing: string[] = [];
  if (!findChromium()) missing.push('chromium');
  if (!programOnPath('pdftoppm')) missing.push('poppler-utils');
  if (missing.length === 0) return;
  if (isDebianRoot()) {
    console.log(`Installing ${missing.join(' and ')} for the tests (Debian packages)...`);
    try {
      aptInstall(missing);
    } catch (cause) {
      throw new Error(`The tests need ${missing.join(' and ')}; installing failed. ${BY_HAND}`, { cause });
    }
  }
  if (!findChromium() || !programOnPath('pdftoppm')) {
    throw new Error(`The tests need ${missing.join(' and ')}, which this machine does not have. ${BY_HAND}`);
  }
}
