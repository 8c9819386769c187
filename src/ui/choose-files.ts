interface ChooseOptions {
  readonly accept: string;
  readonly isMultiple?: boolean;
  /** Asks a phone for its rear camera instead of its files. */
  readonly usesCamera?: boolean;
}

/** Asks the maker for files; resolves with none when they think better of it. */
export function chooseFiles({
  accept,
  isMultiple = false,
  usesCamera = false,
}: ChooseOptions): Promise<File[]> {
  return new Promise((resolve) => {
    const input = document.createElement('input');
    input.type = 'file';
    input.accept = accept;
    input.multiple = isMultiple;
    if (usesCamera) input.setAttribute('capture', 'environment');
    input.addEventListener('change', () => resolve([...(input.files ?? [])]), { once: true });
    input.addEventListener('cancel', () => resolve([]), { once: true });
    input.click();
  });
}
