import { Button } from 'react-aria-components';
import { useBuild } from './bench.ts';
import { pickCapture } from './desk.ts';
import { useJob } from './jobs.ts';
import { measuringKey } from './measuring.ts';
import { usePickedCapture } from './picked.ts';
import { PhotoThumb } from './photo-thumb.tsx';
import type { CaptureRecord } from '../build/types.ts';

/** The photos of the build, where there are several: which one lies on the table. */
export function PhotoPicker() {
  const captures = useBuild((build) => build.captures);
  const picked = usePickedCapture();
  if (captures.length < 2) return null;
  return (
    <ul className="photo-row" aria-label="Photos of this build">
      {captures.map((record) => (
        <li key={record.id} className="photo-tile">
          <PhotoTile record={record} isPicked={record.id === picked?.id} />
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
