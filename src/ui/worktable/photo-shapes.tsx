import { memo, useMemo } from 'react';
import { Image, Line } from 'react-konva';
import { type Camera, planeToImage, principalPoint } from '../../capture/camera.ts';
import { type Bounds, flattenPath } from '../../geometry/measure.ts';
import type { Path } from '../../geometry/path.ts';
import type { ImagePoint } from '../../geometry/point.ts';
import { useZoom } from './zoom-context.ts';

/** A photo ready to be shown: a reduced copy for looking at the whole, and the full picture for looking closely. */
export interface PhotoPicture {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly reduced: ImageBitmap;
  readonly full: HTMLImageElement;
}

/** The photo on a PhotoTable; swaps to the full picture where the reduced one would look coarse. */
export function Photo({ picture }: { readonly picture: PhotoPicture }) {
  const zoom = useZoom() * window.devicePixelRatio;
  const isClose = zoom > (1.25 * picture.reduced.width) / picture.widthPx;
  return (
    <Image
      image={isClose ? picture.full : picture.reduced}
      x={-0.5}
      y={-0.5}
      width={picture.widthPx}
      height={picture.heightPx}
      listening={false}
      perfectDrawEnabled={false}
    />
  );
}

interface FlatPhotoProps {
  readonly picture: ImageBitmap;
  /** What of the plane it shows, mm. */
  readonly area: Bounds;
}

/** A photo as seen from straight above, in its place on a PlaneTable. */
export function FlatPhoto({ picture, area: { minX, minY, maxX, maxY } }: FlatPhotoProps) {
  return (
    <Image image={picture} x={minX} y={-maxY} width={maxX - minX} height={maxY - minY} listening={false} />
  );
}

interface PhotoLineProps {
  readonly points: readonly ImagePoint[];
  readonly closed: boolean;
  readonly color: string;
  readonly widthPx?: number;
  readonly id?: string;
  readonly fill?: string;
  readonly dash?: readonly number[];
}

/** A line on the photo with a pale casing, so that it shows on light and dark ground alike. */
export const PhotoLine = memo(function PhotoLine({
  points,
  closed,
  color,
  widthPx = 2,
  id,
  fill,
  dash,
}: PhotoLineProps) {
  const flat = useMemo(() => points.flatMap(({ u, v }) => [u, v]), [points]);
  const shared = {
    points: flat,
    closed,
    strokeScaleEnabled: false,
    lineJoin: 'round' as const,
    perfectDrawEnabled: false,
  };
  return (
    <>
      <Line {...shared} stroke="#ffffff" opacity={0.85} strokeWidth={widthPx + 2.5} listening={false} />
      <Line
        {...shared}
        stroke={color}
        strokeWidth={widthPx}
        {...(id !== undefined && { id })}
        {...(fill !== undefined && { fill })}
        {...(dash && { dash: [...dash] })}
        listening={id !== undefined}
        hitStrokeWidth={14}
      />
    </>
  );
});

/** Where a path on the plane z = `zMm` shows in the photo; drawn to a tenth of a millimetre. */
export function pathInPhoto(path: Path, camera: Camera, zMm: number): ImagePoint[] {
  return flattenPath(path, 0.1).map((point) => planeToImage(camera, point, zMm));
}

/** Beyond the picture's corner by this share the lens model is not to be trusted. */
const BEYOND_PICTURE = 1.2;

/**
 * The same for a piece that reaches beyond the photo: points that the lens cannot see are drawn in towards the
 * picture's rim, so that what lies inside is true and the line leaves the picture where the piece does.
 */
export function pathWithinPhoto(path: Path, camera: Camera, zMm: number): ImagePoint[] {
  const straight = { ...camera, k1: 0, k2: 0 };
  const middle = principalPoint(camera);
  const reachPx = (BEYOND_PICTURE * Math.hypot(camera.widthPx, camera.heightPx)) / 2;
  return flattenPath(path, 0.1).flatMap((point) => {
    const { u, v } = planeToImage(straight, point, zMm);
    const away = Math.hypot(u - middle.u, v - middle.v);
    if (!Number.isFinite(away)) return [];
    if (away <= reachPx) return [planeToImage(camera, point, zMm)];
    const share = reachPx / away;
    return [{ u: middle.u + share * (u - middle.u), v: middle.v + share * (v - middle.v) }];
  });
}
