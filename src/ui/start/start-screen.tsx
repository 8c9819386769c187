import { PhotographingDrawing } from '../drawings/photographing.tsx';
import { ActionButton } from '../controls/action-button.tsx';
import { goToStage } from '../desk.ts';

export function StartScreen() {
  return (
    <main className="bare-table">
      <PhotographingDrawing />
      <h1>Foamwright</h1>
      <p>One photo of your paper mock-up in, one true-scale template for foam out.</p>
      <ActionButton kind="main" onPress={() => goToStage('capture')}>
        New build
      </ActionButton>
    </main>
  );
}
