/** What a photo shows where a card may lie: how far it is as the card's own print is, from its marks inward. */
import { distanceMm, type ImagePoint, type PlanePoint } from '../geometry/point.ts';
import type { Raster } from '../vision/raster.ts';
import { type Camera, planeToImage } from './camera.ts';
import { CARD_COUNT, CARD_FACE_HEIGHT_MM, MARKER_CELLS, markerCells, SQUARE_SIDE_MM } from './card.ts';
import { lightAt } from './light.ts';
import type { LoneMark } from './lone-marks.ts';

/** Where a card may lie, and the marks that are then its own. */
export interface CardPlace {
  readonly centre: PlanePoint;
  readonly turnRad: number;
  readonly marks: readonly LoneMark[];
}

/** A place of the card's own frame on the table, mm. */
export function laid(
  { centre, turnRad }: Pick<CardPlace, 'centre' | 'turnRad'>,
  { x, y }: PlanePoint,
): PlanePoint {
  const [c, s] = [Math.cos(turnRad), Math.sin(turnRad)];
  return { x: centre.x + c * x - s * y, y: centre.y + s * x + c * y };
}

/** A place on the card that is dark or light on every card. */
interface Plain {
  readonly at: PlanePoint;
  readonly isDark: boolean;
}

const CELL_MM = SQUARE_SIDE_MM / MARKER_CELLS;
const cellCentre = (row: number, column: number): PlanePoint => ({
  x: (column + 0.5) * CELL_MM - SQUARE_SIDE_MM / 2,
  y: SQUARE_SIDE_MM / 2 - (row + 0.5) * CELL_MM,
});
const CELLS = Array.from({ length: MARKER_CELLS ** 2 }, (_, k) => {
  const [row, column] = [Math.floor(k / MARKER_CELLS), k % MARKER_CELLS];
  const isBorder = [row, column].some((index) => index === 0 || index === MARKER_CELLS - 1);
  return { row, column, isBorder, at: cellCentre(row, column) };
});
/** White all round the square, between it and the marks. */
const RIM_MM = SQUARE_SIDE_MM / 2 + 2.5;
const RIM_PLACES = 7;
const PLAIN: readonly Plain[] = [
  ...CELLS.filter(({ isBorder }) => isBorder).map(({ at }) => ({ at, isDark: true })),
  ...Array.from({ length: RIM_PLACES }, (_, k) => RIM_MM * ((2 * k) / (RIM_PLACES - 1) - 1)).flatMap((t) =>
    [
      { x: t, y: RIM_MM },
      { x: t, y: -RIM_MM },
      { x: RIM_MM, y: t },
      { x: -RIM_MM, y: t },
    ].map((at) => ({ at, isDark: false })),
  ),
];
const INNER = CELLS.filter(({ isBorder }) => !isBorder);

/** Places this near to a mark, mm, must be as on a card. */
const NEAR_MM = 22;
/** Ink is darker than this share of the way from a mark's ink to its paper, paper lighter than that. */
const INK_BELOW = 0.4;
const PAPER_ABOVE = 0.6;
/** From the marks inward, so many places may be otherwise before the card counts as hidden. */
const PLAIN_WRONG = 2;
const CELLS_WRONG = 1;

type Tone = 'ink' | 'paper' | 'neither';

interface ShownPlace {
  readonly tone: Tone;
  /** From the nearest mark, mm. */
  readonly awayMm: number;
}

/** How many of the places come before more than `allowed` of them are wrong. */
function lengthUntilWrong<T>(places: readonly T[], allowed: number, isRight: (place: T) => boolean): number {
  let wrong = 0;
  const end = places.findIndex((place) => !isRight(place) && ++wrong > allowed);
  return end < 0 ? places.length : end;
}

export class CardLook {
  private readonly plain: readonly (Plain & ShownPlace)[];
  private readonly inner: readonly ((typeof CELLS)[number] & ShownPlace)[];

  constructor(
    private readonly photo: Raster,
    private readonly camera: Camera,
    private readonly place: CardPlace,
  ) {
    this.plain = this.shown(PLAIN);
    this.inner = this.shown(INNER);
  }

  inPhoto(at: PlanePoint): ImagePoint {
    return planeToImage(this.camera, laid(this.place, at), CARD_FACE_HEIGHT_MM);
  }

  /** The places that the photo shows, those nearest to a mark first, judged by that mark's ink and paper. */
  private shown<T extends { readonly at: PlanePoint }>(places: readonly T[]): readonly (T & ShownPlace)[] {
    return places
      .flatMap((place) => {
        const { u, v } = this.inPhoto(place.at);
        const light = lightAt(this.photo, u, v);
        if (Number.isNaN(light)) return [];
        const onTable = laid(this.place, place.at);
        const away = (mark: LoneMark): number => distanceMm(mark.at, onTable);
        const { ink, paper } = this.place.marks.reduce((a, b) => (away(b) < away(a) ? b : a));
        const share = (light - ink) / (paper - ink);
        const tone: Tone = share < INK_BELOW ? 'ink' : share > PAPER_ABOVE ? 'paper' : 'neither';
        return [{ ...place, tone, awayMm: Math.min(...this.place.marks.map(away)) }];
      })
      .sort((a, b) => a.awayMm - b.awayMm);
  }

  /** Share of the places near a mark that are as on every card; undefined where too few show. */
  near({ at: mark }: LoneMark): number | undefined {
    const near = this.plain.filter(({ at }) => distanceMm(laid(this.place, at), mark) < NEAR_MM);
    const right = near.filter(({ tone, isDark }) => tone === (isDark ? 'ink' : 'paper'));
    return near.length > 3 ? right.length / near.length : undefined;
  }

  /** How many places from the marks inward are as on every card. */
  plainPlaces(): number {
    return lengthUntilWrong(
      this.plain,
      PLAIN_WRONG,
      ({ tone, isDark }) => tone === (isDark ? 'ink' : 'paper'),
    );
  }

  /** For every number, the best first, how many cells from the marks inward are its own. */
  cellsOfIds(): readonly { readonly id: number; readonly cells: number }[] {
    const last = MARKER_CELLS - 1;
    const cellsOf = (id: number, isUpsideDown: boolean): number => {
      const white = markerCells(id);
      return lengthUntilWrong(this.inner, CELLS_WRONG, ({ row, column, tone }) => {
        const isWhite = isUpsideDown ? white[last - row]![last - column]! : white[row]![column]!;
        return tone === (isWhite ? 'paper' : 'ink');
      });
    };
    return Array.from({ length: CARD_COUNT }, (_, id) => ({
      id,
      cells: Math.max(cellsOf(id, false), cellsOf(id, true)),
    })).sort((a, b) => b.cells - a.cells);
  }
}
