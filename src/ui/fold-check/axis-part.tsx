import { Crosshair, FlipHorizontal2, Trash2 } from 'lucide-react';
import { setAxis } from '../../build/commands/pieces.ts';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import { boundsOf, flattenPath } from '../../geometry/measure.ts';
import { axesThroughMarks, type AxisThroughMarks } from '../../mirror/axes-through-marks.ts';
import type { FoldLine } from '../../mirror/axis.ts';
import { type AxisCandidate, settleAxis } from '../../mirror/find-axes.ts';
import { change } from '../bench.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { MmField } from '../controls/mm-field.tsx';
import { mmWords } from '../controls/number-words.ts';
import { PanelPart } from '../shell/stage-frame.tsx';
import { fromLeftMm, leanDegrees, leanedTo, ruleWords, standingFromLeft } from './axis-by-hand.ts';
import { innerPaths, outlineOf } from './piece-lines.ts';

interface AxisPartProps {
  readonly pieceId: string;
  readonly lines: readonly PieceLine[];
  readonly axis: FoldLine;
  readonly isKept: boolean;
  readonly candidates: readonly AxisCandidate[];
}

/** The fold line: where it comes from, its place in figures, and other lines to choose from. */
export function AxisPart({ pieceId, lines, axis, isKept, candidates }: AxisPartProps) {
  const outline = outlineOf(lines);
  if (!outline) return null;
  const points = flattenPath(outline, 0.2);
  const throughMarks = axesThroughMarks(outline, lines);
  const keep = (words: string, next: FoldLine | undefined) =>
    change(words, (build) => setAxis(build, { pieceId, axis: next }));
  const settle = (start: FoldLine) => settleAxis(outline, innerPaths(lines, outline), start);
  const { minX, maxX, minY, maxY } = boundsOf(points);
  const middle = { x: (minX + maxX) / 2, y: (minY + maxY) / 2 };
  return (
    <PanelPart title="Fold line" icon={FlipHorizontal2}>
      <p>
        {ruleWords(axis)}
        {!isKept && ' Not kept yet: drag it, or keep it as it is.'}
      </p>
      <div className="row">
        {!isKept && <ActionButton onPress={() => keep('Keep fold line', axis)}>Keep this line</ActionButton>}
        {axis.rule === 'by-hand' && (
          <ActionButton icon={Crosshair} onPress={() => keep('Settle fold line', settle(axis))}>
            Settle to the best fit here
          </ActionButton>
        )}
        {axis.rule !== 'vertical' && (
          <ActionButton
            onPress={() =>
              keep('Upright fold line', settle({ point: middle, angleRad: Math.PI / 2, rule: 'vertical' }))
            }
          >
            Keep it upright
          </ActionButton>
        )}
        {isKept && (
          <ActionButton icon={Trash2} kind="quiet" onPress={() => keep('Forget fold line', undefined)}>
            Find it again
          </ActionButton>
        )}
      </div>
      <MarksChoice
        axis={axis}
        found={throughMarks}
        onPick={(next) => keep('Fold line through marks', next)}
      />
      {candidates.length > 1 && (
        <fieldset className="pick-list">
          <legend className="field-label">
            {candidates[1]!.equalToBest
              ? 'The piece folds equally well on several lines:'
              : 'Other lines that nearly fit:'}
          </legend>
          {candidates.map((candidate, index) => (
            <label key={index} className="pick">
              <input
                type="radio"
                name="fold-line"
                checked={isSameLine(axis, candidate.axis)}
                onChange={() => keep(`Fold line ${index + 1}`, candidate.axis)}
              />
              <span>
                Line {index + 1}, leaning {mmWords(leanDegrees(candidate.axis))}°
                <span className="small quiet">
                  <br />
                  {mmWords(candidate.p95Mm)} mm apart at 95 % of the edge
                </span>
              </span>
            </label>
          ))}
        </fieldset>
      )}
      <div className="field-rows">
        <MmField
          label="Lean from upright"
          unit="°"
          digits={2}
          min={-90}
          max={90}
          value={leanDegrees(axis)}
          onChange={(degrees) => keep('Lean of the fold line', leanedTo(axis, degrees, middle))}
        />
        <MmField
          label="From the left edge"
          digits={1}
          value={fromLeftMm(axis, points)}
          onChange={(mm) => keep('Place of the fold line', standingFromLeft(axis, points, mm))}
        />
      </div>
    </PanelPart>
  );
}

interface MarksChoiceProps {
  readonly axis: FoldLine;
  readonly found: readonly AxisThroughMarks[];
  readonly onPick: (axis: FoldLine) => void;
}

/** Fold lines through two marks of the piece, where it has them. */
function MarksChoice({ axis, found, onPick }: MarksChoiceProps) {
  if (found.length === 0) return null;
  return (
    <fieldset className="pick-list">
      <legend className="field-label">Through two marks:</legend>
      {found.map((one, index) => (
        <label key={one.markIds.join(' ')} className="pick">
          <input
            type="radio"
            name="fold-line-marks"
            checked={axis.rule === 'through-marks' && isSameLine(axis, one.axis)}
            onChange={() => onPick(one.axis)}
          />
          <span>
            Pair of marks {index + 1}, leaning {mmWords(leanDegrees(one.axis))}°
            <span className="small quiet">
              <br />
              {mmWords(one.p95Mm)} mm apart at 95 % of the edge
            </span>
          </span>
        </label>
      ))}
    </fieldset>
  );
}

function isSameLine(a: FoldLine, b: FoldLine): boolean {
  return (
    Math.abs(a.angleRad - b.angleRad) < 1e-6 &&
    Math.hypot(a.point.x - b.point.x, a.point.y - b.point.y) < 1e-3
  );
}
