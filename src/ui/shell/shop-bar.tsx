import { ChevronDown, FileDown, FolderOpen, House, Redo2, Save, Undo2 } from 'lucide-react';
import { Menu, MenuItem, MenuTrigger, Popover } from 'react-aria-components';
import { renameBuild } from '../../build/commands/build-setup.ts';
import { BUILD_FILE_ENDING } from '../../build/file-format.ts';
import { bench, change, useBench, useBuild } from '../bench.ts';
import { openBuildFromFile, saveBuildToFile } from '../build-files.ts';
import { chooseFiles } from '../choose-files.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { TextLine } from '../controls/text-line.tsx';
import { goToStart } from '../desk.ts';
import { downloadSvg } from '../template/template-files.ts';
import { templateInputOf } from '../template/template-input-of.ts';
import { KeptWords } from './kept-words.tsx';

/** The bar above the shop: home, the build's name, whether it is kept, undo and redo, files. */
export function ShopBar() {
  const name = useBuild((build) => build.name);
  return (
    <header className="shop-bar">
      <title>{`${name} – Foamwright`}</title>
      <ActionButton kind="quiet" icon={House} onPress={goToStart}>
        Start
      </ActionButton>
      <h1 className="only-read-aloud">{name} – Foamwright</h1>
      <div className="build-name">
        <TextLine
          label="Name of the build"
          hideLabel
          value={name}
          onChange={(next) => change('Rename build', (build) => renameBuild(build, { name: next }))}
        />
      </div>
      <KeptWords />
      <div className="shop-bar-end">
        <UndoButtons />
        <FileMenu />
      </div>
    </header>
  );
}

function UndoButtons() {
  const undoLabel = useBench((state) => state.undoLabel);
  const redoLabel = useBench((state) => state.redoLabel);
  return (
    <>
      <ActionButton
        kind="quiet"
        icon={Undo2}
        isDisabled={undoLabel === undefined}
        aria-label={undoLabel === undefined ? 'Undo' : `Undo: ${undoLabel}`}
        onPress={() => bench.undo()}
      >
        Undo
      </ActionButton>
      <ActionButton
        kind="quiet"
        icon={Redo2}
        isDisabled={redoLabel === undefined}
        aria-label={redoLabel === undefined ? 'Redo' : `Redo: ${redoLabel}`}
        onPress={() => bench.redo()}
      >
        Redo
      </ActionButton>
    </>
  );
}

async function openFile(): Promise<void> {
  const [file] = await chooseFiles({ accept: BUILD_FILE_ENDING });
  if (file) await openBuildFromFile(file);
}

function FileMenu() {
  const hasPieces = useBuild((build) => build.pieces.some(({ included }) => included));
  return (
    <MenuTrigger>
      <ActionButton kind="quiet" icon={ChevronDown}>
        File
      </ActionButton>
      <Popover className="pop" placement="bottom end">
        <Menu className="menu" aria-label="File" disabledKeys={hasPieces ? [] : ['svg']}>
          <MenuItem id="save" className="menu-item" onAction={() => void saveBuildToFile()}>
            <Save size={20} aria-hidden="true" />
            Save the build as one file
          </MenuItem>
          <MenuItem id="open" className="menu-item" onAction={() => void openFile()}>
            <FolderOpen size={20} aria-hidden="true" />
            Open a build file
          </MenuItem>
          <MenuItem
            id="svg"
            className="menu-item"
            onAction={() => void downloadSvg(templateInputOf(bench.getState().build))}
          >
            <FileDown size={20} aria-hidden="true" />
            Download the pieces as SVG
          </MenuItem>
        </Menu>
      </Popover>
    </MenuTrigger>
  );
}
