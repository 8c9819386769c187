export function KeptWords() {
  return null;
}
