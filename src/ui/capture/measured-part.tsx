import { toleranceOfLengthMm } from '../../capture/tolerance.ts';
import type { Capture } from '../../capture/types.ts';
import { Figures } from '../controls/figures.tsx';
import { Measure } from '../controls/measure.tsx';
import { More } from '../controls/more.tsx';
import { mmWords, percentWords } from '../controls/number-words.ts';
import { PanelPart } from '../shell/stage-frame.tsx';
import { cameraWords } from './camera-words.ts';
import { longestMarkSpan } from './marks.ts';

interface MeasuredPartProps {
  readonly capture: Capture;
  /** Tells the photo which card the maker points at. */
  readonly onPoint: (cardId: number | undefined) => void;
}

/** What the photo measured, and how sure it is. */
export function MeasuredPart({ capture, onPoint }: MeasuredPartProps) {
  const span = longestMarkSpan(capture);
  return (
    <PanelPart>
      {span && (
        <Measure
          label="Farthest marks apart, measured from the photo"
          valueMm={span.lengthMm}
          toleranceMm={toleranceOfLengthMm(capture, span.fromMm, span.toMm)}
        />
      )}
      <p>{cameraWords(capture.camera)}</p>
      <CardList capture={capture} onPoint={onPoint} />
      <More title="More numbers">
        <Figures rows={moreFigures(capture)} />
      </More>
    </PanelPart>
  );
}

function CardList({ capture, onPoint }: MeasuredPartProps) {
  return (
    <div className="stack">
      <h3>Cards found</h3>
      <ul className="card-list">
        {capture.cards.map((card, index) => (
          <li
            key={`${card.id} ${index}`}
            onPointerEnter={() => onPoint(card.id)}
            onPointerLeave={() => onPoint(undefined)}
          >
            <strong>{card.id}</strong>
            <span>{card.used ? `${mmWords(card.residualMm, 2)} mm off` : 'left out'}</span>
          </li>
        ))}
      </ul>
    </div>
  );
}

function moreFigures(capture: Capture): readonly (readonly [string, string])[] {
  const { camera, printScale } = capture;
  return [
    ['Points seen, typical miss', `${mmWords(capture.rmsPx, 2)} px`],
    ['Focal length', `${mmWords(camera.focalPx, 0)} px`],
    ['Lens bends straight lines', percentWords(camera.k1, 2)],
    ['Cards printed at, across', percentWords(printScale.across, 2)],
    ['Cards printed at, along', percentWords(printScale.along, 2)],
    [
      'Measured plane above the table',
      `${mmWords(capture.thicknessMm)} ± ${mmWords(capture.thicknessDoubtMm)} mm`,
    ],
    ['Photo', `${camera.widthPx} × ${camera.heightPx} px`],
  ];
}
