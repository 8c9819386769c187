import { describe, expect, it } from 'vitest';
import { mover, offsetFromLineMm, reflectionAcross } from '../../src/geometry/motion.ts';
import { pathLengthMm } from '../../src/geometry/measure.ts';
import { foldCard } from '../../src/template/fold-card.ts';
import { templatePdf } from '../../src/template/template-pdf.ts';
import { posed, POSED_AXIS, VISOR } from '../mirror/outlines.ts';
import { printedAlone } from '../refit/slipped-print.ts';
import { readPdf } from './read-pdf.ts';

const input = printedAlone([{ id: 'outline', kind: 'cut', path: posed(VISOR) }]);
const card = foldCard(input.pieces[0]!, POSED_AXIS);
const added = card.lines.slice(1);

describe('the fold card', () => {
  it('keeps the piece and runs the axis beyond it on both sides', () => {
    expect(card.lines[0]).toBe(input.pieces[0]!.lines[0]);
    const axis = added.find(({ kind }) => kind === 'fold')!.path;
    for (const end of [axis.start, axis.segments[0]!.to]) {
      expect(offsetFromLineMm(POSED_AXIS, end)).toBeCloseTo(0, 9);
    }
    // The visor is 88 mm high on its axis at the nose, 124 mm over all.
    expect(pathLengthMm(axis)).toBeGreaterThan(124);
  });

  it('has ticks and crosses that lie on each other once the paper is folded', () => {
    const reflect = mover(reflectionAcross(POSED_AXIS));
    const key = ({ x, y }: { x: number; y: number }) => `${x.toFixed(6)} ${y.toFixed(6)}`;
    const ends = added
      .filter(({ kind }) => kind === 'mark')
      .flatMap(({ path }) => [path.start, path.segments[0]!.to]);
    expect(ends.length).toBeGreaterThan(20);
    const places = new Set(ends.map(key));
    for (const end of ends) expect(places.has(key(reflect(end)))).toBe(true);
  });

  it('prints: every added line is drawn on the pages at its true length', async () => {
    const pages = await readPdf(await templatePdf({ ...input, pieces: [card] }));
    const lengths = pages.flatMap(({ paths }) =>
      paths
        .filter(({ painted }) => painted === 'stroke')
        .flatMap(({ commands }) =>
          commands.flatMap(({ verb, points }, i) => {
            const [from, to] = [commands[i - 1]?.points.at(-1), points[0]];
            return verb === 'line' && from && to ? [Math.hypot(from.x - to.x, from.y - to.y)] : [];
          }),
        ),
    );
    for (const { path } of added) {
      const lengthMm = pathLengthMm(path);
      expect(Math.min(...lengths.map((drawn) => Math.abs(drawn - lengthMm)))).toBeLessThan(0.01);
    }
  });
});
