import { type RefObject, useEffect, useState } from 'react';
import type { Size } from './view.ts';

/** The size of an element's inside in CSS px; undefined until it has been laid out. */
export function useSize(ref: RefObject<HTMLElement | null>): Size | undefined {
  const [size, setSize] = useState<Size | undefined>(undefined);
  useEffect(() => {
    const element = ref.current;
    if (!element) return;
    const observer = new ResizeObserver(() => {
      const { clientWidth: width, clientHeight: height } = element;
      if (width > 0 && height > 0) setSize({ width, height });
    });
    observer.observe(element);
    return () => observer.disconnect();
  }, [ref]);
  return size;
}
