import { ChevronRight, Layers2, Link2, type LucideIcon, Ruler, SplitSquareHorizontal } from 'lucide-react';
import type { ReactNode } from 'react';
import { Button, Disclosure, DisclosurePanel, Heading } from 'react-aria-components';
import type { Piece } from '../../../build/types.ts';
import type { WrapInForce } from '../../../build/wrap-in-force.ts';
import type { Path } from '../../../geometry/path.ts';
import '../../look/work.css';
import { PanelPart } from '../../shell/stage-frame.tsx';
import { BandsPart } from './bands-part.tsx';
import { LongerPart } from './longer-part.tsx';
import { LongerTable } from './longer-table.tsx';
import { MadeTable } from './made-table.tsx';
import { SeamsPart } from './seams-part.tsx';
import { SeamsTable } from './seams-table.tsx';
import { SizesPart } from './sizes-part.tsx';
import { SizesTable } from './sizes-table.tsx';
import { useWork, work, type WorkId } from './work-store.ts';

interface WorkPartsProps {
  readonly piece: Piece;
  readonly wrap: WrapInForce;
  readonly wantedWrapMm: number;
}

/** Work on the pattern, one thing open at a time: what is open lies on the table too. */
export function WorkParts({ piece, wrap, wantedWrapMm }: WorkPartsProps) {
  return (
    <PanelPart title="Work on the pattern" icon={Ruler}>
      <div className="work-parts">
        <WorkPart id="longer" title="Make it longer at lines" icon={SplitSquareHorizontal}>
          <LongerPart piece={piece} wrap={wrap} wantedWrapMm={wantedWrapMm} />
        </WorkPart>
        <WorkPart id="seams" title="Seams" icon={Link2}>
          <SeamsPart pieceId={piece.id} />
        </WorkPart>
        <WorkPart id="bands" title="Bands and cross bar" icon={Ruler}>
          <BandsPart />
        </WorkPart>
        <WorkPart id="sizes" title="Size range" icon={Layers2}>
          <SizesPart piece={piece} />
        </WorkPart>
      </div>
    </PanelPart>
  );
}

function WorkPart({
  id,
  title,
  icon: Icon,
  children,
}: {
  readonly id: WorkId;
  readonly title: string;
  readonly icon: LucideIcon;
  readonly children: ReactNode;
}) {
  const isOpen = useWork(({ open }) => open === id);
  return (
    <Disclosure
      className="more"
      isExpanded={isOpen}
      onExpandedChange={(next) => work.setState({ open: next ? id : undefined, drawing: undefined })}
    >
      <Heading level={4}>
        <Button slot="trigger" className="more-trigger">
          <ChevronRight size={18} aria-hidden="true" />
          <Icon size={18} aria-hidden="true" className="work-mark" />
          {title}
        </Button>
      </Heading>
      <DisclosurePanel>{isOpen && <div className="more-inside stack">{children}</div>}</DisclosurePanel>
    </Disclosure>
  );
}

/** The table of what is open, or the fit's own. */
export function WorkTable({
  piece,
  wrap,
  outline,
  otherwise,
}: {
  readonly piece: Piece;
  readonly wrap: WrapInForce;
  readonly outline: Path;
  readonly otherwise: ReactNode;
}) {
  const open = useWork((each) => each.open);
  if (open === 'longer') return <LongerTable piece={piece} wrap={wrap} />;
  if (open === 'seams') return <SeamsTable piece={piece} outline={outline} />;
  if (open === 'bands') return <MadeTable otherwise={otherwise} />;
  if (open === 'sizes') return <SizesTable piece={piece} />;
  return otherwise;
}
