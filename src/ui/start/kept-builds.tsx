export function KeptBuilds() {
  return null;
}
