import { dismissFailure, useJob, useJobFailure } from '../jobs.ts';
import { ActionButton } from './action-button.tsx';
import { Notice } from './notice.tsx';
import { ProgressLine } from './progress-line.tsx';

interface JobStatusProps {
  readonly jobKey: string;
  readonly onTryAgain?: () => void;
}

/** Steps come from many rooms; on the screen each begins like a sentence. */
function asSentence(step: string): string {
  return step.charAt(0).toUpperCase() + step.slice(1);
}

/** The progress of a job while it runs, its words when it failed, else nothing. */
export function JobStatus({ jobKey, onTryAgain }: JobStatusProps) {
  const job = useJob(jobKey);
  const failure = useJobFailure(jobKey);
  if (job?.isSlow)
    return <ProgressLine step={asSentence(job.step)} fraction={job.fraction} onCancel={job.stop} />;
  if (!job && failure) {
    return (
      <Notice tone="wrong" isNews>
        <p>{failure}</p>
        <div className="row">
          {onTryAgain && <ActionButton onPress={onTryAgain}>Try again</ActionButton>}
          <ActionButton kind="quiet" onPress={() => dismissFailure(jobKey)}>
            Put away
          </ActionButton>
        </div>
      </Notice>
    );
  }
  return null;
}
