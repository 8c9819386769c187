import { Layers } from 'lucide-react';
import { useMemo } from 'react';
import type { Piece } from '../../build/types.ts';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import type { RevisionComparison } from '../../refit/compare-revisions.ts';
import type { SeamSlip } from '../../refit/seam-slips.ts';
import { useBuild } from '../bench.ts';
import { JobStatus } from '../controls/job-status.tsx';
import { mmWords } from '../controls/number-words.ts';
import { Notice } from '../controls/notice.tsx';
import { engine } from '../engine.ts';
import { type Ask, useJobResult } from '../job-result.ts';
import { PanelPart } from '../shell/stage-frame.tsx';
import { printedPieces, templateInputOf } from '../template/template-input-of.ts';

const SEAMS_JOB = 'seam-slips';
/** Pages are taped to about this at best, mm: less is no slip. */
const TAPED_MM = 0.5;

/** How the pages of a print lie; undefined while it is worked out, or when there is nothing to work out (`piece` undefined). */
export function useSeamSlips(
  piece: Piece | undefined,
  oldLines: readonly PieceLine[],
  newLines: readonly PieceLine[],
  comparison: RevisionComparison | undefined,
): readonly SeamSlip[] | undefined {
  const build = useBuild((build) => build);
  const ask = useMemo<Ask<readonly SeamSlip[]> | undefined>(() => {
    const index = printedPieces(build).findIndex(({ id }) => id === piece?.id);
    if (!comparison || index < 0) return undefined;
    const template = templateInputOf(build);
    return (call) => engine.seamSlips({ oldLines, newLines, comparison, template, piece: index }, call);
  }, [build, piece, oldLines, newLines, comparison]);
  const { value, isStale } = useJobResult(SEAMS_JOB, 'Reading the seams', ask);
  return isStale ? undefined : value;
}

interface SeamsPartProps {
  readonly slips: readonly SeamSlip[] | undefined;
  readonly limitMm: number;
}

/** Which seam between taped pages slipped, and by how much. */
export function SeamsPart({ slips, limitMm }: SeamsPartProps) {
  return (
    <PanelPart title="Seams between the pages" icon={Layers}>
      <JobStatus jobKey={SEAMS_JOB} />
      {slips?.length === 0 && <p>This piece was printed on one page: no seam can have slipped.</p>}
      {slips && slips.length > 0 && (
        <>
          <ul className="count-list">
            {slips.map((slip) => (
              <li key={slip.seam.tiles.join(' ')}>
                <p>
                  <strong>{slip.seam.tiles.join(' | ')}</strong> {slipWords(slip)}
                </p>
              </li>
            ))}
          </ul>
          {slips.some((slip) => largestMm(slip) > limitMm) && (
            <Notice tone="look">
              <p>A seam is out by more than the limit: tape it again by its registration marks.</p>
            </Notice>
          )}
          <p className="small quiet">
            Read with the page setup in force: it must be the one that was printed. A slip along an edge that
            runs on straight over the seam cannot be seen.
          </p>
        </>
      )}
    </PanelPart>
  );
}

function largestMm({ alongMm = 0, apartMm = 0 }: SeamSlip): number {
  return Math.hypot(alongMm, apartMm);
}

/** "slipped 2.1 mm along, opened 0.8 mm, turned 0.4°". */
function slipWords({ alongMm, apartMm, turnRad }: SeamSlip): string {
  if (alongMm === undefined && apartMm === undefined) return 'the lines there do not tell';
  const words = [
    ...(Math.abs(alongMm ?? 0) > TAPED_MM ? [`slipped ${mmWords(Math.abs(alongMm!))} mm along it`] : []),
    ...((apartMm ?? 0) > TAPED_MM ? [`gapes by ${mmWords(apartMm!)} mm`] : []),
    ...((apartMm ?? 0) < -TAPED_MM ? [`overlaps ${mmWords(-apartMm!)} mm too far`] : []),
    ...(Math.abs(turnRad ?? 0) > 0.005 ? [`turned ${mmWords((Math.abs(turnRad!) * 180) / Math.PI)}°`] : []),
  ];
  const untold = [
    ...(alongMm === undefined ? ['along it'] : []),
    ...(apartMm === undefined ? ['across it'] : []),
  ];
  const doubt = untold.length > 0 ? ` (${untold.join(', ')} the lines do not tell)` : '';
  return (words.length > 0 ? words.join(', ') : 'holds') + doubt;
}
