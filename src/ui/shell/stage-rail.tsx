import { Check, CircleDashed, Eye } from 'lucide-react';
import { Button } from 'react-aria-components';
import { useBuild } from '../bench.ts';
import { goToStage, useDesk } from '../desk.ts';
import type { StageState } from '../stage-id.ts';
import { STAGES, type Stage } from '../stages.ts';

const STATE_MARKS = { 'to do': CircleDashed, done: Check, 'look again': Eye };

/** The five stages in order, each with how it stands. */
export function StageRail() {
  return (
    <nav className="stages" aria-label="Stages">
      <ol>
        {STAGES.map((stage) => (
          <li key={stage.id}>
            <StageTab stage={stage} />
          </li>
        ))}
      </ol>
    </nav>
  );
}

function StageTab({ stage }: { readonly stage: Stage }) {
  const isHere = useDesk((desk) => desk.stage === stage.id);
  const state = useBuild(stage.stateOf);
  const Icon = stage.icon;
  return (
    <Button
      className="stage-tab"
      {...(isHere && { 'aria-current': 'step' as const })}
      onPress={() => goToStage(stage.id)}
    >
      <Icon size={24} strokeWidth={1.75} aria-hidden="true" />
      <span className="stage-title">{stage.title}</span>
      <StateWords state={state} />
    </Button>
  );
}

function StateWords({ state }: { readonly state: StageState }) {
  const Mark = STATE_MARKS[state];
  return (
    <span className={`stage-state stage-state-${state.replace(' ', '-')}`}>
      <Mark size={14} strokeWidth={2.5} aria-hidden="true" />
      {state}
    </span>
  );
}
