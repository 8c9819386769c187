import { useEffect, useRef, useState } from 'react';

const FOLD_MS = 700;

function wantsStillness(): boolean {
  return window.matchMedia('(prefers-reduced-motion: reduce)').matches;
}

/** Slow at both ends, as a hand folds paper. */
function eased(t: number): number {
  return (1 - Math.cos(Math.PI * t)) / 2;
}

/** How far the fold has come, 0..1, on its way to `isFolded`; at once for those who asked for less motion. */
export function useFoldMotion(isFolded: boolean): number {
  const goal = isFolded ? 1 : 0;
  const [time, setTime] = useState(goal);
  const now = useRef(goal);
  useEffect(() => {
    if (now.current === goal) return;
    let frame = 0;
    let last: number | undefined;
    const step = (when: number) => {
      const passed = wantsStillness() ? 1 : (when - (last ?? when)) / FOLD_MS;
      last = when;
      now.current =
        goal > now.current ? Math.min(goal, now.current + passed) : Math.max(goal, now.current - passed);
      setTime(now.current);
      if (now.current !== goal) frame = requestAnimationFrame(step);
    };
    frame = requestAnimationFrame(step);
    return () => cancelAnimationFrame(frame);
  }, [goal]);
  return eased(time);
}
