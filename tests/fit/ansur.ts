/** The ANSUR II public file's heads (extract described in FACTS section 2.3; released for unlimited public use by the US Army). */
import { readFileSync } from 'node:fs';

const [head, ...rows] = readFileSync(new URL('../data/ansur-head.csv', import.meta.url), 'utf8')
  .trim()
  .split(/\r?\n/);
const names = head!.split(',');
const cells = rows.map((row) => row.split(','));

export type Sex = 'M' | 'F';

/** One column in mm for men or women, in the order of the file. */
export function ansurColumn(sex: Sex, column: string): number[] {
  const [sexAt, at] = [names.indexOf('sex'), names.indexOf(column)];
  if (at < 0) throw new Error(`no column ${column}`);
  return cells.filter((row) => row[sexAt] === sex).map((row) => Number(row[at]));
}

/** Percentile by linear interpolation. */
export function percentile(values: readonly number[], p: number): number {
  const sorted = values.toSorted((a, b) => a - b);
  const at = (p / 100) * (sorted.length - 1);
  const low = Math.floor(at);
  return sorted[low]! + (at - low) * ((sorted[low + 1] ?? sorted[low]!) - sorted[low]!);
}

export const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

export function covariance(a: readonly number[], b: readonly number[]): number {
  const [meanA, meanB] = [mean(a), mean(b)];
  return mean(a.map((value, i) => (value - meanA) * (b[i]! - meanB)));
}
