import { Label, Slider, SliderOutput, SliderThumb, SliderTrack } from 'react-aria-components';
import { useDraft } from './use-draft.ts';

interface NudgeSliderProps {
  readonly label: string;
  readonly value: number;
  readonly min: number;
  readonly max: number;
  readonly step: number;
  /** Words under the two ends of the track. */
  readonly ends: readonly [string, string];
  /** Called when the maker lets go, not on the way: what it starts may take seconds. */
  readonly onSettle: (value: number) => void;
  readonly isDisabled?: boolean;
}

/** A slider whose value counts when let go; one gesture is one undo step. */
export function NudgeSlider({
  label,
  value,
  min,
  max,
  step,
  ends,
  onSettle,
  isDisabled = false,
}: NudgeSliderProps) {
  const [draft, setDraft] = useDraft(value);
  return (
    <Slider
      className="slider"
      value={draft}
      minValue={min}
      maxValue={max}
      step={step}
      isDisabled={isDisabled}
      onChange={setDraft}
      onChangeEnd={onSettle}
      formatOptions={{ signDisplay: 'exceptZero', maximumFractionDigits: 2 }}
    >
      <div className="slider-head">
        <Label className="field-label">{label}</Label>
        <SliderOutput className="small" />
      </div>
      <SliderTrack className="slider-track">
        <SliderThumb className="slider-thumb" />
      </SliderTrack>
      <div className="slider-ends small quiet" aria-hidden="true">
        <span>{ends[0]}</span>
        <span>{ends[1]}</span>
      </div>
    </Slider>
  );
}
