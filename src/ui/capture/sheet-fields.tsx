import { useState } from 'react';
import { LIMITS } from '../../build/limits.ts';
import { SHEET_SIZES } from '../../capture/reference-shapes.ts';
import type { Reference, SheetName } from '../../capture/types.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { MmField } from '../controls/mm-field.tsx';
import { More } from '../controls/more.tsx';
import { PickFrom } from '../controls/pick-from.tsx';
import { SHEET_WORDS } from './pointing.ts';

type SheetReference = Extract<Reference, { readonly kind: 'sheet' }>;

interface SheetFieldsProps {
  readonly reference: SheetReference;
  readonly onChange: (reference: SheetReference) => void;
}

const PAPERS = (Object.keys(SHEET_WORDS) as SheetName[]).map((id) => ({
  id,
  words: id,
  note: SHEET_WORDS[id],
}));
/** A sheet may be cut this much off its name, mm; farther off it is another paper. */
const OFF_MM = 4;

/** Which paper it is, and its own sides where the maker measured them. */
export function SheetFields({ reference, onChange }: SheetFieldsProps) {
  const { measuredMm, sheet } = reference;
  const [shortMm, setShort] = useState(measuredMm?.shortMm);
  const [longMm, setLong] = useState(measuredMm?.longMm);
  const [short, long] = SHEET_SIZES[sheet];
  const around = (nominalMm: number) => ({
    min: Math.max(LIMITS.sheetSideMm.min, nominalMm - OFF_MM),
    max: Math.min(LIMITS.sheetSideMm.max, nominalMm + OFF_MM),
  });
  return (
    <>
      <PickFrom
        label="Paper"
        options={PAPERS}
        value={sheet}
        onChange={(next) => {
          const { measuredMm: _, ...rest } = reference;
          onChange({ ...rest, sheet: next });
        }}
      />
      <More title="Its sides by the ruler" isOpenAtFirst={measuredMm !== undefined}>
        <p className="small quiet">
          Paper may be 2 mm off its name. With both sides measured, lengths become surer.
        </p>
        <MmField label="Short side" value={shortMm} onChange={setShort} {...around(short)} />
        <MmField label="Long side" value={longMm} onChange={setLong} {...around(long)} />
        <ActionButton
          isDisabled={shortMm === undefined || longMm === undefined}
          onPress={() =>
            shortMm !== undefined &&
            longMm !== undefined &&
            onChange({ ...reference, measuredMm: { shortMm, longMm } })
          }
        >
          Use these sides
        </ActionButton>
      </More>
    </>
  );
}
