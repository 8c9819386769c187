import DistanceOp from 'jsts/org/locationtech/jts/operation/distance/DistanceOp.js';
import sharp from 'sharp';
import { svgPathProperties } from 'svg-path-properties';
import { describe, expect, it } from 'vitest';
import { pathAreaMm2, pathLengthMm, polygonAreaMm2 } from '../../src/geometry/measure.ts';
import { piecesSvg } from '../../src/template/pieces-svg.ts';
import { jstsRing } from '../geometry/drawn.ts';
import { line, leafPath, marshHeronPieces } from './marsh-heron.ts';

const pieces = marshHeronPieces();
const svg = piecesSvg({ pieces });

/** Path data of a layer, in document order. */
function layerPaths(text: string, kind: string): string[] {
  const layer = text.split(`<g id="${kind}"`)[1]?.split('\n  </g>')[0] ?? '';
  return [...layer.matchAll(/ d="([^"]+)"/g)].map((match) => match[1]!);
}

/** Points along the path, by svg-path-properties' own evaluation. */
function pointsAlong(data: string, count: number): { x: number; y: number }[] {
  const properties = new svgPathProperties(data);
  const length = properties.getTotalLength();
  return Array.from({ length: count }, (_, i) => properties.getPointAtLength((length * i) / count));
}

const linesOf = (kind: string) => pieces.flatMap(({ lines }) => lines.filter((each) => each.kind === kind));

describe('the pieces as SVG', () => {
  it('is well-formed and as many millimetres large as its viewBox says (rendered by librsvg)', async () => {
    const [, width, height, viewBox] = svg.match(
      /width="([\d.]+)mm" height="([\d.]+)mm" viewBox="0 0 ([\d. ]+)"/,
    )!;
    expect(viewBox).toBe(`${width} ${height}`);
    // sharp draws at 72 pixels to the inch unless told otherwise.
    const { width: pixels } = await sharp(Buffer.from(svg)).metadata();
    expect(pixels).toBe(Math.round((Number(width) * 72) / 25.4));
  });

  it('has a layer named after each kind of line in use, and no other', () => {
    const layers = [...svg.matchAll(/<g id="([^"]+)"/g)].map((match) => match[1]);
    const used = new Set(pieces.flatMap(({ lines }) => lines.map(({ kind }) => kind)));
    expect(new Set(layers)).toEqual(used);
    for (const kind of used) expect(layerPaths(svg, kind)).toHaveLength(linesOf(kind).length);
  });

  it.each(['cut', 'cutout', 'fold', 'score', 'wrap', 'placement', 'mark'])(
    'keeps the length of every %s line to 0.01 mm (svg-path-properties)',
    (kind) => {
      const lines = linesOf(kind);
      layerPaths(svg, kind).forEach((data, i) => {
        expect(new svgPathProperties(data).getTotalLength()).toBeCloseTo(pathLengthMm(lines[i]!.path), 1.7);
      });
    },
  );

  it('keeps the area of every cut outline (jsts) and turns none over', () => {
    const lines = linesOf('cut');
    layerPaths(svg, 'cut').forEach((data, i) => {
      const points = pointsAlong(data, 4000);
      const area = pathAreaMm2(lines[i]!.path);
      // Points spread along the outline cut across its corners a little.
      expect(Math.abs(jstsRing(points).getArea() / Math.abs(area) - 1)).toBeLessThan(2e-4);
      // y runs down, so a counter-clockwise outline has a negative area in the file's own frame.
      expect(Math.sign(polygonAreaMm2(points))).toBe(-Math.sign(area));
    });
  });

  it('keeps cubics as cubics', () => {
    const leaf = layerPaths(svg, 'cut').find((data) => data.includes('C'))!;
    expect(leaf).toMatch(/^M[\d. ]+C[\d. ]+C[\d. ]+Z$/);
  });

  it('lays the pieces side by side, at least 5 mm apart (jsts)', () => {
    const rings = layerPaths(svg, 'cut').map((data) => jstsRing(pointsAlong(data, 400)));
    for (let i = 0; i < rings.length; i++) {
      for (let k = 0; k < i; k++) expect(DistanceOp.distance(rings[i]!, rings[k]!)).toBeGreaterThan(5);
    }
  });

  it('writes names as text, never as markup', () => {
    expect(svg).not.toContain('<script');
    expect(svg).toContain('<title>Crest &lt;script&gt;alert(1)&lt;/script&gt; &amp; &quot;fin&quot;</title>');
    expect(svg).toContain('<title>Lantern plate 灯</title>');
  });

  it('leaves out what XML forbids, and stays readable', async () => {
    const odd = piecesSvg({
      pieces: [{ ...pieces[0]!, name: 'a\u0000b\uD800c\u{1FAB6}]]>', lines: [line('cut', leafPath(40, 9))] }],
    });
    expect(odd).toContain('<title>abc\u{1FAB6}]]&gt;</title>');
    await expect(sharp(Buffer.from(odd)).png().toBuffer()).resolves.toBeTruthy();
  });

  it('of no pieces is an empty drawing', async () => {
    await expect(sharp(Buffer.from(piecesSvg({ pieces: [] }))).metadata()).resolves.toMatchObject({
      format: 'svg',
    });
  });
});
