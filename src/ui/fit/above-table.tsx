import type { GoingRound } from '../../build/going-round.ts';
import type { HeadRound } from '../../fit/round-head.ts';
import { AboveView } from './above-view.tsx';
import { type FitView, ViewChoice } from './fit-table.tsx';

interface AboveTableProps {
  readonly going: GoingRound;
  readonly laid: HeadRound;
  readonly hasFitted: boolean;
  readonly onView: (view: FitView) => void;
}

/** The head from above on the worktable. */
export function AboveTable({ going, laid, hasFitted, onView }: AboveTableProps) {
  return (
    <div className="worktable">
      <AboveView going={going} laid={laid} roomAbovePx={56} />
      <div className="worktable-overlay">
        <ViewChoice view="above" hasFitted={hasFitted} onView={onView} />
      </div>
      <p className="above-foot small">
        {laid.scale > 1.01 || laid.scale < 0.99
          ? 'No head has this girth, length and breadth together; the girth is drawn, in their proportion. Measure again.'
          : 'Pieces as they are cut now, in true proportion, the brow at the top.'}
      </p>
    </div>
  );
}
