/** Printers that the maker has measured on this device: every new build knows them. */
import { z } from 'zod';
import { useStore } from 'zustand';
import { createStore } from 'zustand/vanilla';
import { addPrinter } from '../build/commands/build-setup.ts';
import { isWithin, LIMITS, LONGEST_NAME } from '../build/limits.ts';
import type { Build, Printer } from '../build/types.ts';

const PLACE = 'foamwright.printers';

const printers = z.array(
  z.object({
    id: z.string(),
    name: z.string().min(1).max(LONGEST_NAME),
    check: z.object({
      acrossMm: z.number().refine((value) => isWithin(value, LIMITS.checkAcrossMm)),
      alongMm: z.number().refine((value) => isWithin(value, LIMITS.checkAlongMm)),
    }),
  }),
);

/** What is kept, or nothing when the browser keeps nothing or something else has written there. */
function read(): readonly Printer[] {
  try {
    const parsed = printers.safeParse(JSON.parse(localStorage.getItem(PLACE) ?? '[]'));
    return parsed.success ? parsed.data : [];
  } catch {
    return [];
  }
}

const store = createStore<{ readonly printers: readonly Printer[] }>(() => ({ printers: read() }));

function put(next: readonly Printer[]): void {
  store.setState({ printers: next });
  try {
    localStorage.setItem(PLACE, JSON.stringify(next));
  } catch {
    // Private windows may refuse; the printer is then known until the page is closed.
  }
}

export function useKeptPrinters(): readonly Printer[] {
  return useStore(store, (state) => state.printers);
}

/** Keeps a printer for the builds to come; one of the same name is replaced. */
export function keepPrinter(printer: Printer): void {
  const others = store.getState().printers.filter(({ name }) => name !== printer.name);
  put([printer, ...others]);
}

export function forgetPrinter(id: string): void {
  put(store.getState().printers.filter((printer) => printer.id !== id));
}

/** A new build that knows the printers of this device; the one measured last made the cards, unless told otherwise. */
export function withKeptPrinters(build: Build): Build {
  const { printers } = store.getState();
  return printers.reduce(
    (known, { id, name, check }) => addPrinter(known, { stamp: { id, when: build.createdAt }, name, check }),
    build,
  );
}
