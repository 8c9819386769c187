import { lazy, Suspense, useEffect } from 'react';
import { bench } from '../bench.ts';
import { JobStatus } from '../controls/job-status.tsx';
import { useDesk } from '../desk.ts';
import { IntakeListener } from '../intake-listener.tsx';
import { OPENING } from '../kept-builds.ts';
import { StartScreen } from '../start/start-screen.tsx';
import { WorkKeeper } from './work-keeper.tsx';

/** The canvas library comes with the shop: the first screen need not wait for it. */
const Shop = lazy(async () => ({ default: (await import('./shop.tsx')).Shop }));

/** Undo and redo by keys, except where the maker is typing: there they undo the typing. */
function useUndoKeys(): void {
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
      if (event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement) return;
      const key = event.key.toLowerCase();
      if (key !== 'z' && key !== 'y') return;
      event.preventDefault();
      if (key === 'y' || event.shiftKey) bench.redo();
      else bench.undo();
    };
    window.addEventListener('keydown', onKey);
    return () => window.removeEventListener('keydown', onKey);
  }, []);
}

export function App() {
  const screen = useDesk((desk) => desk.screen);
  useUndoKeys();
  return (
    <WorkKeeper>
      {screen === 'start' && <StartScreen />}
      {screen === 'opening' && <Opening />}
      {screen === 'build' && (
        <Suspense fallback={<main className="bare-table" />}>
          <Shop />
        </Suspense>
      )}
      <IntakeListener />
    </WorkKeeper>
  );
}

function Opening() {
  return (
    <main className="bare-table">
      <JobStatus jobKey={OPENING} />
    </main>
  );
}
