import { CARD_FACE_HEIGHT_MM } from '../../capture/card.ts';
import { referenceName } from '../../capture/reference-warnings.ts';
import { toleranceOfLengthMm } from '../../capture/tolerance.ts';
import type { Capture } from '../../capture/types.ts';
import { Figures } from '../controls/figures.tsx';
import { Measure } from '../controls/measure.tsx';
import { More } from '../controls/more.tsx';
import { mmWords, percentWords, residualWords, toleranceWords } from '../controls/number-words.ts';
import { PanelPart } from '../shell/stage-frame.tsx';
import { cameraWords } from './camera-words.ts';
import { sizeWords } from './pointing.ts';
import { longestMarkSpan, type MarkSpan } from './marks.ts';

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
      {span && <SpanMeasure capture={capture} span={span} />}
      <p>{cameraWords(capture.camera)}</p>
      <ReferenceList capture={capture} />
      {capture.cards.length > 0 && <CardList capture={capture} onPoint={onPoint} />}
      <More title="More numbers">
        <Figures rows={moreFigures(capture)} />
      </More>
    </PanelPart>
  );
}

/** Where the printer's scale makes up most of the doubt, measuring it is what helps. */
const PRINT_DOUBT_SHARE = 0.6;
/** Fewer than this leave the corners of the table to guesswork (DESIGN section 5). */
const FEW_CARDS = 4;

function SpanMeasure({ capture, span }: { readonly capture: Capture; readonly span: MarkSpan }) {
  const { fromMm, toMm, lengthMm } = span;
  const tolerance = toleranceOfLengthMm(capture, fromMm, toMm, CARD_FACE_HEIGHT_MM);
  const samePrinter = toleranceOfLengthMm(capture, fromMm, toMm, CARD_FACE_HEIGHT_MM, 'same-printer');
  const isPrintDoubt = samePrinter < PRINT_DOUBT_SHARE * tolerance;
  const isFewCards = capture.cards.filter(({ used }) => used).length < FEW_CARDS;
  return (
    <>
      <Measure label="From mark to mark, the farthest two" valueMm={lengthMm} toleranceMm={tolerance} />
      {isPrintDoubt && (
        <p>
          Most of that doubt is the size at which the cards were printed. A template from the same printer
          fits to <strong>{toleranceWords(samePrinter)} mm</strong>.
        </p>
      )}
      {!isPrintDoubt && isFewCards && (
        <p>More cards, scattered round the piece, would narrow it: four to six are best.</p>
      )}
    </>
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
            <span>{card.used ? `${residualWords(card.residualMm)} off` : 'left out'}</span>
          </li>
        ))}
      </ul>
    </div>
  );
}

/** Bank card, sheets and two points, as found. */
function ReferenceList({ capture: { references = [] } }: { readonly capture: Capture }) {
  if (references.length === 0) return null;
  return (
    <div className="stack">
      <h3>Found in the photo</h3>
      <Figures
        rows={references.map((found) => [
          referenceName(found).replace(/^the /u, ''),
          found.used ? sizeWords(found) : 'left out',
        ])}
      />
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
      `${mmWords(capture.thicknessMm)} ${toleranceWords(capture.thicknessDoubtMm)} mm`,
    ],
    ['Photo', `${camera.widthPx} × ${camera.heightPx} px`],
  ];
}
