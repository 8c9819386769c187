import { Target } from 'lucide-react';
import type { Advice } from '../../capture/guidance.ts';
import { STATED_WORDS } from '../../stated-tolerance.ts';
import type { ToleranceField } from '../../capture/tolerance-field.ts';
import { withFiguresWhole } from '../controls/number-words.ts';
import { Tick } from '../controls/tick.tsx';
import { PanelPart } from '../shell/stage-frame.tsx';
import { bandWords, LINE_SETS } from './sure-bands.ts';

interface SurePartProps {
  readonly advice: Advice;
  /** True where the advice is for the longest way across a piece; else for the farthest two marks. */
  readonly isAcrossPiece: boolean;
  /** The tolerance over the table, once it is worked out. */
  readonly field: ToleranceField | undefined;
  readonly isShown: boolean;
  readonly onShow: (isShown: boolean) => void;
}

/** Where on the table the photo is sure, and what would make it surer. */
export function SurePart({
  advice: { single, together },
  isAcrossPiece,
  field,
  isShown,
  onShow,
}: SurePartProps) {
  return (
    <PanelPart title="How to make it surer" icon={Target}>
      {single.length === 0 ? (
        <p className="quiet">Nothing simple would make this photo much surer.</p>
      ) : (
        <>
          <p className="small quiet">
            How far off{' '}
            {isAcrossPiece ? 'the longest way across a piece' : 'the way between the farthest two marks'} may
            be, {STATED_WORDS}:
          </p>
          <ul className="stack">
            {single.map(({ action, sentence }) => (
              <li key={action}>{withFiguresWhole(sentence)}</li>
            ))}
            {together && <li>{withFiguresWhole(together)}</li>}
          </ul>
        </>
      )}
      <Tick isOn={isShown} onChange={onShow}>
        Where it is sure
      </Tick>
      {isShown && field && <Legend field={field} />}
    </PanelPart>
  );
}

function Legend({ field }: { readonly field: ToleranceField }) {
  return (
    <div className="stack">
      <p className="small quiet">
        How far off a tip may be that ends there, measured from the dot in the middle of the pieces,{' '}
        {STATED_WORDS}.
      </p>
      <ul className="stack">
        {bandWords(field).map((words, band) => (
          <li key={words} className="row small">
            <Swatch band={band} />
            {words}
          </li>
        ))}
      </ul>
    </div>
  );
}

const [WIDTH, HEIGHT, STEP] = [44, 24, 12];

/** A band's shading in small. */
function Swatch({ band }: { readonly band: number }) {
  const lines = LINE_SETS.slice(0, band).flatMap(({ way, shift }) =>
    Array.from({ length: Math.ceil((WIDTH + HEIGHT) / STEP) + 1 }, (_, k) => {
      const at = (k + shift - 1) * STEP - HEIGHT + STEP;
      return way > 0 ? `M${at} ${HEIGHT}L${at + HEIGHT} 0` : `M${at} 0L${at + HEIGHT} ${HEIGHT}`;
    }),
  );
  return (
    <svg
      className="swatch"
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      width={WIDTH}
      height={HEIGHT}
      aria-hidden="true"
    >
      <rect x="0.5" y="0.5" width={WIDTH - 1} height={HEIGHT - 1} fill="none" stroke="currentColor" />
      <path d={lines.join('')} stroke="currentColor" strokeWidth="1.25" />
    </svg>
  );
}
