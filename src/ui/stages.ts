/**
 * The stages along the edge of the screen.
 *
 * To add a stage panel: write `src/ui/<stage>/<stage>-stage.tsx` exporting a component without props that returns
 * `<StageFrame title=… lead=… table={<PlaneTable …>}>panel parts</StageFrame>` (shell/stage-frame.tsx), and a
 * pure `<stage>-state.ts` that says from the build alone how the stage stands; then name both here.
 * - Read the document with `useBuild`, change it with `change('Words for undo', recipe)` (bench.ts).
 * - The piece in hand is `usePickedPiece()` (picked.ts); `pickPiece(id)` (desk.ts) lays another on the table.
 * - Panel parts are `<PanelPart title>`; numbers are `Measure`, `Figures`; fields `MmField`, `TextLine`,
 *   `Choice`, `Tick`, `NudgeSlider`; words `Notice`; what can wait `More`; buttons `ActionButton` (controls/).
 * - On the table: `PlaneTable` with `PlaneGrid`, `PlaneLine`, `PlaneSpan`, `ScreenLabel` (worktable/).
 * - Work over 300 ms goes through `runJob` (jobs.ts), which shows its progress and a way to stop it.
 */
import { Camera, FoldHorizontal, type LucideIcon, Printer, RefreshCw, Ruler, Spline } from 'lucide-react';
import type { ComponentType } from 'react';
import type { Build } from '../build/types.ts';
import { captureState } from './capture/capture-state.ts';
import { CaptureStage } from './capture/capture-stage.tsx';
import { fitState } from './fit/fit-state.ts';
import { FitStage } from './fit/fit-stage.tsx';
import { foldCheckState } from './fold-check/fold-check-state.ts';
import { FoldCheckStage } from './fold-check/fold-check-stage.tsx';
import { refitState } from './refit/refit-state.ts';
import { RefitStage } from './refit/refit-stage.tsx';
import type { StageId, StageState } from './stage-id.ts';
import { templateState } from './template/template-state.ts';
import { TemplateStage } from './template/template-stage.tsx';
import { traceState } from './trace/trace-state.ts';
import { TraceStage } from './trace/trace-stage.tsx';

export interface Stage {
  readonly id: StageId;
  readonly title: string;
  readonly icon: LucideIcon;
  readonly component: ComponentType;
  readonly stateOf: (build: Build) => StageState;
}

export const STAGES: readonly Stage[] = [
  { id: 'capture', title: 'Capture', icon: Camera, component: CaptureStage, stateOf: captureState },
  { id: 'trace', title: 'Trace', icon: Spline, component: TraceStage, stateOf: traceState },
  {
    id: 'fold-check',
    title: 'Fold check',
    icon: FoldHorizontal,
    component: FoldCheckStage,
    stateOf: foldCheckState,
  },
  { id: 'fit', title: 'Fit', icon: Ruler, component: FitStage, stateOf: fitState },
  { id: 'template', title: 'Template', icon: Printer, component: TemplateStage, stateOf: templateState },
  { id: 'refit', title: 'Refit', icon: RefreshCw, component: RefitStage, stateOf: refitState },
];
