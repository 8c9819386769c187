import type { LucideIcon } from 'lucide-react';
import { type ReactNode, useId } from 'react';
import { KeepingTrouble } from './kept-words.tsx';

interface StageFrameProps {
  /** The stage's title, heading of its panel. */
  readonly title: string;
  /** One sentence: what this stage is for, or what to do now. */
  readonly lead?: string;
  /** A PhotoTable, a PlaneTable or a BareTable. */
  readonly table: ReactNode;
  /** The stage's numbers and controls: PanelParts. */
  readonly children: ReactNode;
}

/** A stage: the worktable in the middle, its numbers beside it (below it on a phone). */
export function StageFrame({ title, lead, table, children }: StageFrameProps) {
  const headingId = useId();
  return (
    <>
      <main className="table-area">{table}</main>
      <aside className="panel" aria-labelledby={headingId}>
        <div className="panel-inside">
          <div className="panel-head">
            <h2 id={headingId}>{title}</h2>
            {lead && <p className="quiet">{lead}</p>}
          </div>
          <KeepingTrouble />
          {children}
        </div>
      </aside>
    </>
  );
}

interface PanelPartProps {
  readonly title?: string;
  readonly icon?: LucideIcon;
  readonly children: ReactNode;
}

/** A sheet of the panel that holds what belongs together. */
export function PanelPart({ title, icon: Icon, children }: PanelPartProps) {
  return (
    <section className="panel-part" {...(title !== undefined && { 'aria-label': title })}>
      {title !== undefined && (
        <h3>
          {Icon && <Icon size={18} aria-hidden="true" />}
          {title}
        </h3>
      )}
      {children}
    </section>
  );
}

interface BareTableProps {
  /** A line drawing from drawings/. */
  readonly drawing: ReactNode;
  readonly title: string;
  /** What to do, and the buttons for it. */
  readonly children: ReactNode;
}

/** An empty table that teaches what will lie on it. */
export function BareTable({ drawing, title, children }: BareTableProps) {
  return (
    <div className="bare-table">
      {drawing}
      <h2>{title}</h2>
      {children}
    </div>
  );
}
