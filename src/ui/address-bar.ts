/** Keeps the page's address in step with the desk, so that reload and the browser's back button work as expected. */
import { hashOf, type Place, placeFromHash } from './address.ts';
import { bench } from './bench.ts';
import { desk } from './desk.ts';
import { openKeptBuild } from './kept-builds.ts';

function here(): Place {
  const { screen, stage } = desk.getState();
  const { build } = bench.getState();
  return screen === 'build' ? { screen, buildId: build.id, stage } : { screen: 'start' };
}

function write(): void {
  if (desk.getState().screen === 'opening') return;
  const hash = hashOf(here());
  if (hash === location.hash) return;
  history.pushState(null, '', hash === '' ? location.pathname + location.search : hash);
}

async function follow(): Promise<void> {
  const place = placeFromHash(location.hash);
  if (place.screen === 'start') {
    desk.setState({ screen: 'start' });
    return;
  }
  if (bench.getState().build.id === place.buildId) {
    desk.setState({ screen: 'build', stage: place.stage });
    return;
  }
  await openKeptBuild(place.buildId, place.stage);
}

/** Opens what the address says, and follows it and the desk from then on. */
export function startAddressBar(): void {
  void follow().then(() => {
    desk.subscribe(write);
    bench.subscribe(({ build }, before) => {
      if (build.id !== before.build.id) write();
    });
    write();
  });
  window.addEventListener('popstate', () => void follow());
}
