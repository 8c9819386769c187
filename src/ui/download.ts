/** Hands bytes to the browser's own way of saving files. */
export function download(fileName: string, bytes: BlobPart, type: string): void {
  const url = URL.createObjectURL(new Blob([bytes], { type }));
  const link = document.createElement('a');
  link.href = url;
  link.download = fileName;
  link.click();
  // Some browsers fetch the address only after the click has been dealt with.
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}

/** A name that every system can save: "Marsh Heron Warden's headpiece" gives "marsh-heron-wardens-headpiece". */
export function fileStem(name: string): string {
  const plain = name
    .normalize('NFKD')
    .replace(/[\u0300-\u036f'’]/g, '')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '');
  return plain || 'headpiece';
}
