import type { Build } from '../../build/types.ts';

/** How far the halves may differ unless the maker says otherwise, mm: common practice in the trade, no published source. */
const USUAL_LIMIT_MM = 2;

export function foldLimitMm({ foldLimitMm }: Build): number {
  return foldLimitMm ?? USUAL_LIMIT_MM;
}
