import { Layers } from 'lucide-react';
import { useState } from 'react';
import { setThickness } from '../../build/commands/captures.ts';
import { joinOf } from '../../build/join-lookups.ts';
import { LIMITS } from '../../build/limits.ts';
import type { CaptureRecord } from '../../build/types.ts';
import { MmField } from '../controls/mm-field.tsx';
import { Tick } from '../controls/tick.tsx';
import { measurePhoto } from '../measuring.ts';
import { PanelPart } from '../shell/stage-frame.tsx';

/** A caliper on soft foam, one sigma (common practice, no source). */
const CALIPER_DOUBT_MM = 0.1;

interface Thickness {
  readonly thicknessMm: number;
  readonly doubtMm?: number;
}

/** How thick the pieces in a photo are: they are measured on the plane of their top face. */
export function ThicknessPart({ record }: { readonly record: CaptureRecord }) {
  const { id: captureId, thicknessDoubtMm } = record;
  // Shown while the photo is measured anew; the build takes it in together with what was found.
  const [pending, setPending] = useState<Thickness | undefined>(undefined);
  const now: Thickness = pending ?? {
    thicknessMm: record.thicknessMm,
    ...(thicknessDoubtMm !== undefined && { doubtMm: thicknessDoubtMm }),
  };
  const put = (next: Thickness) => {
    setPending(next);
    void measurePhoto(captureId, 'Set thickness', (build) =>
      // One piece has one thickness, whichever of its photos shows it.
      (joinOf(build, captureId)?.captureIds ?? [captureId]).reduce(
        (before, each) => setThickness(before, { captureId: each, ...next }),
        build,
      ),
    ).finally(() => setPending(undefined));
  };
  return (
    <PanelPart title="Thickness of the pieces" icon={Layers}>
      <MmField
        label="Thickness"
        help="Paper 0.1, card 1 to 3, foam as sold."
        value={now.thicknessMm}
        {...LIMITS.pieceThicknessMm}
        onChange={(thicknessMm) => thicknessMm !== now.thicknessMm && put({ ...now, thicknessMm })}
      />
      <Tick
        isOn={now.doubtMm !== undefined}
        onChange={(isMeasured) =>
          put({ thicknessMm: now.thicknessMm, ...(isMeasured && { doubtMm: CALIPER_DOUBT_MM }) })
        }
      >
        Measured with a caliper
      </Tick>
    </PanelPart>
  );
}
