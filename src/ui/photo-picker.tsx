import { Trash2 } from 'lucide-react';
import { Button } from 'react-aria-components';
import { removeCapture } from '../build/commands/captures.ts';
import { change, useBuild } from './bench.ts';
import { ActionButton } from './controls/action-button.tsx';
import { pickCapture } from './desk.ts';
import { stopJob, useJob } from './jobs.ts';
import { measuringKey } from './measuring.ts';
import { usePickedCapture } from './picked.ts';
import { PhotoThumb } from './photo-thumb.tsx';
import type { CaptureRecord } from '../build/types.ts';

/** The photos of the build, where there are several: which one lies on the table. */
export function PhotoPicker({ canRemove = false }: { readonly canRemove?: boolean }) {
  const captures = useBuild((build) => build.captures);
  const picked = usePickedCapture();
  if (captures.length < 2 && !canRemove) return null;
  return (
    <ul className="photo-row" aria-label="Photos of this build">
      {captures.map((record) => (
        <li key={record.id} className="photo-tile">
          <PhotoTile record={record} isPicked={record.id === picked?.id} />
          {canRemove && record.id === picked?.id && (
            <ActionButton
              kind="quiet"
              icon={Trash2}
              aria-label={`Remove ${record.photoName}`}
              onPress={() => {
                stopJob(measuringKey(record.id));
                change('Remove photo', (build) => removeCapture(build, { captureId: record.id }));
              }}
            >
              Remove
            </ActionButton>
          )}
        </li>
      ))}
    </ul>
  );
}

function PhotoTile({ record, isPicked }: { readonly record: CaptureRecord; readonly isPicked: boolean }) {
  const job = useJob(measuringKey(record.id));
  return (
    <Button className="photo-pick" aria-pressed={isPicked} onPress={() => pickCapture(record.id)}>
      <PhotoThumb photoId={record.photoId} />
      <span className="small">{record.photoName}</span>
      {job && <span className="small quiet">{job.step}</span>}
    </Button>
  );
}
