import { Component, type ReactNode } from 'react';
import { bench } from '../bench.ts';
import { saveBuildToFile } from '../build-files.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { Notice } from '../controls/notice.tsx';

interface WorkKeeperState {
  readonly error: Error | undefined;
}

/** Stands in when a part of the screen fails: the build lives outside it, so nothing is lost. */
export class WorkKeeper extends Component<{ readonly children: ReactNode }, WorkKeeperState> {
  override state: WorkKeeperState = { error: undefined };

  static getDerivedStateFromError(error: unknown): WorkKeeperState {
    return { error: error instanceof Error ? error : new Error(String(error)) };
  }

  readonly #showAgain = () => this.setState({ error: undefined });

  readonly #undo = () => {
    bench.undo();
    this.#showAgain();
  };

  override render() {
    const { error } = this.state;
    if (!error) return this.props.children;
    return (
      <main className="table-area work-keeper">
        <Notice tone="wrong" isNews>
          <h2>This part of the screen has failed</h2>
          <p>
            Your build is kept: nothing is lost. Show it again; if it fails once more, undo the last step, or
            save the build to a file and load the page anew.
          </p>
          <div className="row">
            <ActionButton kind="main" onPress={this.#showAgain}>
              Show it again
            </ActionButton>
            <ActionButton onPress={this.#undo}>Undo the last step</ActionButton>
            <ActionButton onPress={() => void saveBuildToFile()}>Save the build to a file</ActionButton>
          </div>
          <p className="small quiet">What the program said: {error.message}</p>
        </Notice>
      </main>
    );
  }
}
