import { FileDown } from 'lucide-react';
import type { FoldLine } from '../../mirror/axis.ts';
import { foldCard } from '../../template/fold-card.ts';
import { bench } from '../bench.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { JobStatus } from '../controls/job-status.tsx';
import { useJob } from '../jobs.ts';
import { PanelPart } from '../shell/stage-frame.tsx';
import { downloadFoldCard, FILE_JOB } from '../template/template-files.ts';
import { templateInputOfPiece } from '../template/template-input-of.ts';

/** Prints the piece with its fold line, for folding the paper itself. */
export function FoldCardPart({ pieceId, axis }: { readonly pieceId: string; readonly axis: FoldLine }) {
  const isBusy = useJob(FILE_JOB) !== undefined;
  const make = () => {
    const { input, piece } = templateInputOfPiece(bench.getState().build, pieceId);
    void downloadFoldCard({ ...input, pieces: [foldCard(piece, axis)] }, piece.name);
  };
  return (
    <PanelPart title="On paper" icon={FileDown}>
      <p className="small quiet">
        The piece in true size with its fold line and crease ticks: tape it, fold it until crosses lie on
        crosses, hold it to the light.
      </p>
      <ActionButton icon={FileDown} isDisabled={isBusy} onPress={make}>
        Fold card PDF
      </ActionButton>
      <JobStatus jobKey={FILE_JOB} />
    </PanelPart>
  );
}
