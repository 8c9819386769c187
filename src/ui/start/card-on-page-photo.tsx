import { Image } from 'react-konva';
import type { BankCardReference } from '../../capture/types.ts';
import type { OpenedPhoto } from '../../worker/protocol.ts';
import { isPointingDone, type Pointing } from '../capture/pointing.ts';
import { PointingSteps } from '../capture/pointing-steps.tsx';
import { PointedPlaces } from '../capture/references-in-photo.tsx';
import { PhotoTable } from '../worktable/worktable.tsx';

interface CardOnPagePhotoProps {
  readonly photo: OpenedPhoto;
  readonly pointing: Pointing;
  readonly onPointing: (pointing: Pointing | undefined) => void;
  readonly onCard: (bankCard: BankCardReference) => void;
}

/** The photo of a card page, on which the bank card's four corners are pointed out. */
export function CardOnPagePhoto({ photo, pointing, onPointing, onCard }: CardOnPagePhotoProps) {
  const { widthPx, heightPx, preview, photoKey } = photo;
  return (
    <div className="stack">
      <PointingSteps
        pointing={pointing}
        onPointing={onPointing}
        onCorners={({ placesPx }) => onCard({ kind: 'bank-card', nearPx: placesPx })}
        onTwoPoints={() => {}}
      />
      <div className="page-photo">
        <PhotoTable
          label="The photo of the card page"
          fitKey={photoKey}
          widthPx={widthPx}
          heightPx={heightPx}
          isPicking={!isPointingDone(pointing)}
          onTap={(at) => {
            const isInside = at.u >= 0 && at.v >= 0 && at.u <= widthPx - 1 && at.v <= heightPx - 1;
            if (isInside && !isPointingDone(pointing))
              onPointing({ ...pointing, placesPx: [...pointing.placesPx, at] });
          }}
        >
          <Image image={preview} x={-0.5} y={-0.5} width={widthPx} height={heightPx} listening={false} />
          <PointedPlaces pointing={pointing} />
        </PhotoTable>
      </div>
    </div>
  );
}
