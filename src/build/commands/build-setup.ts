import { produce } from 'immer';
import { LIMITS } from '../limits.ts';
import type { Build, PaperName, Printer } from '../types.ts';
import { checked, itemWithId, type Stamp, tidyName } from './arguments.ts';

export function renameBuild(build: Build, { name }: { readonly name: string }): Build {
  return produce(build, (draft) => {
    draft.name = tidyName(name, draft.name);
  });
}

export interface PageSetupChange {
  readonly paper?: PaperName;
  readonly marginMm?: number;
  readonly overlapMm?: number;
  /** `undefined` prints without correction; leave the field out to keep what is set. */
  readonly printerId?: string | undefined;
}

export function setPageSetup(build: Build, change: PageSetupChange): Build {
  return produce(build, ({ pageSetup, printers }) => {
    if (change.paper !== undefined) pageSetup.paper = change.paper;
    if (change.marginMm !== undefined)
      pageSetup.marginMm = checked('Margin', change.marginMm, LIMITS.marginMm);
    if (change.overlapMm !== undefined) {
      pageSetup.overlapMm = checked('Overlap', change.overlapMm, LIMITS.overlapMm);
    }
    if (change.printerId !== undefined)
      pageSetup.printerId = itemWithId(printers, change.printerId, 'printer').id;
    else if ('printerId' in change) delete pageSetup.printerId;
  });
}

/** Sets how far the halves of a piece may differ. */
export function setFoldLimit(build: Build, { foldLimitMm }: { readonly foldLimitMm: number }): Build {
  return produce(build, (draft) => {
    draft.foldLimitMm = checked('Limit of the fold check', foldLimitMm, LIMITS.foldLimitMm);
  });
}

type PrinterValues = Omit<Printer, 'id'>;

function checkedPrinter(values: PrinterValues, former: string): PrinterValues {
  return {
    name: tidyName(values.name, former),
    check: {
      acrossMm: checked('Bar across', values.check.acrossMm, LIMITS.checkAcrossMm),
      alongMm: checked('Bar along', values.check.alongMm, LIMITS.checkAlongMm),
    },
  };
}

/** Keeps a printer's measured check bars; with the first printer, cards and template both use it. */
export function addPrinter(build: Build, { stamp, ...values }: PrinterValues & { stamp: Stamp }): Build {
  return produce(build, (draft) => {
    const first = draft.printers.length === 0;
    draft.printers.push({ id: stamp.id, ...checkedPrinter(values, `Printer ${draft.printers.length + 1}`) });
    if (first) {
      draft.cardPrinterId = stamp.id;
      draft.pageSetup.printerId = stamp.id;
    }
  });
}

export function changePrinter(
  build: Build,
  { printerId, ...change }: Partial<PrinterValues> & { readonly printerId: string },
): Build {
  return produce(build, (draft) => {
    const printer = itemWithId(draft.printers, printerId, 'printer');
    Object.assign(printer, checkedPrinter({ ...printer, ...change }, printer.name));
  });
}

/** Forgets a printer; what used it goes on without correction. */
export function removePrinter(build: Build, { printerId }: { readonly printerId: string }): Build {
  return produce(build, (draft) => {
    const printer = itemWithId(draft.printers, printerId, 'printer');
    draft.printers.splice(draft.printers.indexOf(printer), 1);
    if (draft.cardPrinterId === printerId) delete draft.cardPrinterId;
    if (draft.pageSetup.printerId === printerId) delete draft.pageSetup.printerId;
  });
}

/** Chooses the printer that made the scale cards; `undefined` for one that was never measured. */
export function chooseCardPrinter(
  build: Build,
  { printerId }: { readonly printerId: string | undefined },
): Build {
  return produce(build, (draft) => {
    if (printerId === undefined) delete draft.cardPrinterId;
    else draft.cardPrinterId = itemWithId(draft.printers, printerId, 'printer').id;
  });
}
