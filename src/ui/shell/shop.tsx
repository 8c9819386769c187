import { useDesk } from '../desk.ts';
import { STAGES } from '../stages.ts';
import { ShopBar } from './shop-bar.tsx';
import { StageRail } from './stage-rail.tsx';
import { WorkKeeper } from './work-keeper.tsx';

/** A build on the bench: the bar, the stages, and the stage in hand. */
export function Shop() {
  const stageId = useDesk((desk) => desk.stage);
  const stage = STAGES.find(({ id }) => id === stageId)!;
  const StageComponent = stage.component;
  return (
    <div className="shop">
      <ShopBar />
      <StageRail />
      <WorkKeeper key={stage.id}>
        <StageComponent />
      </WorkKeeper>
    </div>
  );
}
