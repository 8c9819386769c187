import Konva from 'konva';
import { memo, type ReactNode, useMemo } from 'react';
import { Circle, Group, Line, Rect, Text } from 'react-konva';
import { mapPath } from '../../geometry/path.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import type { SheetFrame } from '../../template/paper.ts';
import { placer } from '../../template/placement.ts';
import { type Rect as RectMm, rectCentre } from '../../template/rect.ts';
import type { CheckSquare, Join, PieceLabel, TemplateSheet } from '../../template/sheet-types.ts';
import type { TemplatePiece } from '../../template/template-input.ts';
import { type Palette, usePalette } from '../look/palette.ts';
import { onCanvas, PlaneLine } from '../worktable/plane-shapes.tsx';
import { hasWords, isDrawn, PlaneWords } from '../worktable/plane-words.tsx';
import { useZoom } from '../worktable/zoom-context.ts';
import { originOnPaper } from './sheet-arrangement.ts';

const FONT = 'system-ui, sans-serif';
/** Words smaller than this on the screen are left out, px. */
const READABLE_PX = 4;
/** Size of names shown in their place, px. */
const AFAR_PX = 12;
const MARK_RADIUS_MM = 3;

interface PageProps {
  readonly frame: SheetFrame;
  /** Lower left corner of the paper on the worktable, mm. */
  readonly at: PlanePoint;
  readonly title: string;
  readonly pageNumber: number;
  readonly children: ReactNode;
}

/** True while pages are so small on the screen that there is no room for more than a title's first word. */
function useIsNarrow({ paper }: SheetFrame): boolean {
  return paper.widthMm * useZoom() < 100;
}

function rectOnCanvas({ x, y, widthMm, heightMm }: RectMm) {
  return { x, y: -y - heightMm, width: widthMm, height: heightMm };
}

/** A sheet of paper with its title above; children lie in the paper's frame, cut off at its edges. */
function Page({ frame, at, title, pageNumber, children }: PageProps) {
  const palette = usePalette();
  const isNarrow = useIsNarrow(frame);
  const { widthMm, heightMm } = frame.paper;
  const sheet = rectOnCanvas({ x: 0, y: 0, widthMm, heightMm });
  return (
    <Group {...onCanvas(at)} listening={false}>
      <Rect
        {...sheet}
        fill={palette.paper}
        stroke={palette.inkQuiet}
        strokeWidth={1}
        strokeScaleEnabled={false}
      />
      <Group clip={sheet}>{children}</Group>
      <Afar
        at={{ x: widthMm / 2, y: heightMm }}
        words={isNarrow ? title : `${title} · page ${pageNumber}`}
        sits="above"
        ground={palette.table}
        color={palette.ink}
      />
    </Group>
  );
}

interface SheetPageProps {
  readonly frame: SheetFrame;
  readonly sheet: TemplateSheet;
  readonly pieces: readonly TemplatePiece[];
  readonly at: PlanePoint;
}

/** A printed sheet with everything that lies on it. */
export const SheetPage = memo(function SheetPage({ frame, sheet, pieces, at }: SheetPageProps) {
  const palette = usePalette();
  const zoom = useZoom();
  const lines = useMemo(
    () =>
      sheet.pieces.flatMap(({ piece, placement }) =>
        pieces[piece]!.lines.map((line) => ({
          ...line,
          id: `${piece}-${line.id}`,
          path: mapPath(line.path, placer(placement)),
        })),
      ),
    [sheet, pieces],
  );
  const area = { x: 0, y: 0, widthMm: frame.widthMm, heightMm: frame.heightMm };
  const words = (sizeMm: number) => sizeMm * zoom >= READABLE_PX;
  return (
    <Page frame={frame} at={at} title={sheet.name} pageNumber={sheet.pageNumber}>
      <Group {...onCanvas(originOnPaper(frame))}>
        <Rect
          {...rectOnCanvas(area)}
          stroke={palette.gridStrong}
          strokeWidth={1}
          strokeScaleEnabled={false}
          dash={[3, 4]}
        />
        {sheet.squares.map((square) => (
          <Square key={square.label} square={square} palette={palette} hasWords={words(5)} />
        ))}
        {sheet.joins.map((join) => (
          <JoinLine key={join.side + join.neighbour} join={join} palette={palette} hasWords={words(3)} />
        ))}
        <Group clip={rectOnCanvas(area)}>
          {lines.filter(isDrawn).map(({ id, kind, path, dashMm }) => (
            <PlaneLine key={id} kind={kind} path={path} dashMm={dashMm} />
          ))}
          {lines.filter(hasWords).map((line) => (
            <PlaneWords key={line.id} line={line} color={palette.ink} />
          ))}
        </Group>
        {sheet.labels.map((label) =>
          words(label.sizeMm) ? (
            <Label key={label.piece} label={label} color={palette.ink} />
          ) : (
            <NameFromAfar key={label.piece} label={label} frame={frame} />
          ),
        )}
      </Group>
    </Page>
  );
});

interface CoverPageProps {
  readonly frame: SheetFrame;
  readonly at: PlanePoint;
  readonly pageNumber: number;
}

/** The cover: how to print, the page map, the list of pieces. */
export const CoverPage = memo(function CoverPage({ frame, at, pageNumber }: CoverPageProps) {
  const palette = usePalette();
  const { widthMm, heightMm } = frame.paper;
  return (
    <Page frame={frame} at={at} title="cover" pageNumber={pageNumber}>
      <Text
        x={widthMm * 0.08}
        y={-heightMm + heightMm * 0.08}
        width={widthMm * 0.84}
        text={
          pageNumber === 1
            ? 'How to print and join the pages,\nthe page map, and the list of pieces'
            : 'The list of pieces goes on'
        }
        fontFamily={FONT}
        fontSize={10}
        lineHeight={1.3}
        fill={palette.inkQuiet}
      />
    </Page>
  );
});

function Square({ square, palette, hasWords }: { square: CheckSquare; palette: Palette; hasWords: boolean }) {
  const box = rectOnCanvas(square.box);
  return (
    <>
      <Rect {...box} stroke={palette.inkQuiet} strokeWidth={1.5} strokeScaleEnabled={false} />
      {hasWords && (
        <Text
          {...box}
          text={square.label}
          align="center"
          verticalAlign="middle"
          fontFamily={FONT}
          fontSize={7}
          fill={palette.inkQuiet}
        />
      )}
    </>
  );
}

function JoinLine({ join, palette, hasWords }: { join: Join; palette: Palette; hasWords: boolean }) {
  const { from, to, marks } = join;
  return (
    <>
      <Line
        points={[from.x, -from.y, to.x, -to.y]}
        stroke={palette.accent}
        strokeWidth={1.5}
        strokeScaleEnabled={false}
        dash={join.trimmed ? [8, 4] : [2, 4]}
      />
      {marks.map((mark) => (
        <Group key={mark.name} {...onCanvas(mark.at)}>
          <Circle
            radius={MARK_RADIUS_MM}
            stroke={palette.accent}
            strokeWidth={1.5}
            strokeScaleEnabled={false}
          />
          <Line points={[-4, 0, 4, 0]} stroke={palette.accent} strokeWidth={1.5} strokeScaleEnabled={false} />
          <Line points={[0, -4, 0, 4]} stroke={palette.accent} strokeWidth={1.5} strokeScaleEnabled={false} />
          {hasWords && (
            <Text x={4.5} y={-3.6} text={mark.name} fontFamily={FONT} fontSize={3} fill={palette.accent} />
          )}
        </Group>
      ))}
    </>
  );
}

function Label({ label, color }: { readonly label: PieceLabel; readonly color: string }) {
  const { box, sizeMm, upright, lines } = label;
  const { x, y, width, height } = rectOnCanvas(box);
  return (
    <Text
      x={x}
      y={upright ? y + height : y}
      rotation={upright ? -90 : 0}
      width={upright ? height : width}
      height={upright ? width : height}
      text={lines.join('\n')}
      fontFamily={FONT}
      fontSize={sizeMm}
      lineHeight={1.3}
      wrap="none"
      fill={color}
    />
  );
}

/** The first line of a label that is too small to read, at a size that can be read and within its page. */
function NameFromAfar({ label, frame }: { readonly label: PieceLabel; readonly frame: SheetFrame }) {
  const isNarrow = useIsNarrow(frame);
  const [name = ''] = label.lines;
  const palette = usePalette();
  const words = isNarrow ? name.split(' ')[0]! : name;
  const { x, y } = rectCentre(label.box);
  const halfMm = widthPx(words) / 2 / useZoom();
  const within = Math.max(halfMm, Math.min(frame.widthMm - halfMm, x));
  return <Afar at={{ x: within, y }} words={words} sits="over" ground={palette.paper} color={palette.ink} />;
}

const AFAR = { fontFamily: FONT, fontSize: AFAR_PX, wrap: 'none' };

function widthPx(text: string): number {
  const probe = new Konva.Text({ ...AFAR, text });
  const width = probe.width();
  probe.destroy();
  return width;
}

interface AfarProps {
  readonly at: PlanePoint;
  readonly words: string;
  readonly sits: 'above' | 'over';
  /** Drawn round the letters, so that no line runs through them. */
  readonly ground: string;
  readonly color: string;
}

/** Words that keep their size on the screen. */
function Afar({ at, words, sits, ground, color }: AfarProps) {
  const zoom = useZoom();
  return (
    <Text
      {...onCanvas(at)}
      {...AFAR}
      text={words}
      offsetX={useMemo(() => widthPx(words), [words]) / 2}
      offsetY={sits === 'above' ? AFAR_PX * 1.25 : AFAR_PX / 2}
      scaleX={1 / zoom}
      scaleY={1 / zoom}
      fill={color}
      stroke={ground}
      strokeWidth={4}
      fillAfterStrokeEnabled
    />
  );
}
