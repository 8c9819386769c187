import { History } from 'lucide-react';
import { revertToRevision } from '../../build/commands/pieces.ts';
import type { Piece, Revision } from '../../build/types.ts';
import { change, newStamp } from '../bench.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { PanelPart } from '../shell/stage-frame.tsx';
import { PieceThumb } from './piece-thumb.tsx';

interface RevisionsPartProps {
  readonly piece: Piece;
  readonly onCompare: (earlier: Revision, later: Revision) => void;
}

const MOMENT = new Intl.DateTimeFormat(undefined, { dateStyle: 'medium', timeStyle: 'short' });

/** Every revision of the piece, the one in force first: when, why, what it looked like. */
export function RevisionsPart({ piece, onCompare }: RevisionsPartProps) {
  const { revisions } = piece;
  const goBack = (revision: Revision, number: number) =>
    change(`Back to revision ${number}`, (build) =>
      revertToRevision(build, { pieceId: piece.id, revisionId: revision.id, stamp: newStamp() }),
    );
  return (
    <PanelPart title="Revisions" icon={History}>
      <ol className="revision-list">
        {revisions.toReversed().map((revision, fromLast) => {
          const number = revisions.length - fromLast;
          const before = revisions[number - 2];
          return (
            <li key={revision.id} className="revision-row">
              <PieceThumb lines={revision.lines} />
              <div>
                <p>
                  <strong>{number}</strong> {revision.why}
                </p>
                <p className="small quiet">
                  {fromLast === 0 ? 'in force, ' : ''}
                  {MOMENT.format(new Date(revision.when))}
                </p>
                <div className="row">
                  {before && (
                    <ActionButton
                      kind="quiet"
                      aria-label={`Compare revision ${number} with revision ${number - 1}`}
                      onPress={() => onCompare(before, revision)}
                    >
                      {`Compare with ${number - 1}`}
                    </ActionButton>
                  )}
                  {fromLast > 0 && (
                    <ActionButton
                      kind="quiet"
                      aria-label={`Go back to revision ${number}`}
                      onPress={() => goBack(revision, number)}
                    >
                      Go back to it
                    </ActionButton>
                  )}
                </div>
              </div>
            </li>
          );
        })}
      </ol>
    </PanelPart>
  );
}
