import { isWithin, LONGEST_NAME, type Range } from '../limits.ts';

/** The identity and moment of what a command makes, given by the caller so that commands stay pure. */
export interface Stamp {
  /** New and unique, e.g. crypto.randomUUID(). */
  readonly id: string;
  /** ISO 8601. */
  readonly when: string;
}

/** The number itself; throws when it lies outside: screens offer only values inside LIMITS. */
export function checked(name: string, value: number, range: Range): number {
  if (!isWithin(value, range)) {
    throw new RangeError(`${name} must be ${range.min} to ${range.max}, not ${value}`);
  }
  return value;
}

/** A whole number of pieces. */
export function checkedCount(name: string, value: number, range: Range): number {
  if (!Number.isInteger(value)) throw new RangeError(`${name} must be a whole number, not ${value}`);
  return checked(name, value, range);
}

/** A maker's name for something, tidied; the former one stays when nothing is left. */
export function tidyName(name: string, former: string): string {
  return name.replace(/\s+/gu, ' ').trim().slice(0, LONGEST_NAME).trim() || former;
}

/** The item with this id; throws when there is none, for ids come from the build itself. */
export function itemWithId<T extends { readonly id: string }>(
  items: readonly T[],
  id: string,
  what: string,
): T {
  const item = items.find((candidate) => candidate.id === id);
  if (!item) throw new Error(`This build has no ${what} with the id ${id}`);
  return item;
}
