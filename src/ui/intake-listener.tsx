import { useEffect, useState } from 'react';
import { takeIn } from './intake.ts';

function filesOf(transfer: DataTransfer | null): File[] {
  return [...(transfer?.files ?? [])];
}

/** Takes in what is dropped anywhere or pasted, and says so while something is dragged over the page. */
export function IntakeListener() {
  const [isOver, setOver] = useState(false);
  useEffect(() => {
    const hasFiles = (event: DragEvent) => event.dataTransfer?.types.includes('Files') ?? false;
    const onDrag = (event: DragEvent) => {
      if (!hasFiles(event)) return;
      event.preventDefault();
      setOver(true);
    };
    const onLeave = (event: DragEvent) => {
      // Leaving one element for another inside the page is not leaving.
      if (event.relatedTarget === null) setOver(false);
    };
    const onDrop = (event: DragEvent) => {
      if (!hasFiles(event)) return;
      event.preventDefault();
      setOver(false);
      void takeIn(filesOf(event.dataTransfer));
    };
    const onPaste = (event: ClipboardEvent) => {
      const files = filesOf(event.clipboardData);
      if (files.length === 0) return;
      event.preventDefault();
      void takeIn(files);
    };
    window.addEventListener('dragenter', onDrag);
    window.addEventListener('dragover', onDrag);
    window.addEventListener('dragleave', onLeave);
    window.addEventListener('drop', onDrop);
    window.addEventListener('paste', onPaste);
    return () => {
      window.removeEventListener('dragenter', onDrag);
      window.removeEventListener('dragover', onDrag);
      window.removeEventListener('dragleave', onLeave);
      window.removeEventListener('drop', onDrop);
      window.removeEventListener('paste', onPaste);
    };
  }, []);
  return isOver ? <div className="drop-veil">Drop it: a photo, or a build file</div> : null;
}
