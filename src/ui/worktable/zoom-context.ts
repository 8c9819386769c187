import { createContext, useContext } from 'react';

/** Screen px per unit of the worktable's frame (per photo pixel, or per mm). */
export const ZoomContext = createContext(1);

/** The zoom in force, for shapes that keep their size on the screen. */
export function useZoom(): number {
  return useContext(ZoomContext);
}
