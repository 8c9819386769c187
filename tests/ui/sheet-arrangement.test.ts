import { describe, expect, it } from 'vitest';
import { polylinePath } from '../../src/geometry/path.ts';
import { layoutTemplate } from '../../src/template/layout.ts';
import type { TemplatePiece } from '../../src/template/template-input.ts';
import {
  arrangePages,
  originOnPaper,
  type PageSpot,
  TITLE_ROOM_MM,
} from '../../src/ui/template/sheet-arrangement.ts';

function board(name: string, widthMm: number, heightMm: number): TemplatePiece {
  const corners = [
    { x: 0, y: 0 },
    { x: widthMm, y: 0 },
    { x: widthMm, y: heightMm },
    { x: 0, y: heightMm },
  ];
  return {
    name,
    count: 1,
    mirroredCount: 0,
    foamName: '5 mm foam',
    foamThicknessMm: 5,
    sizeLabel: '',
    revisionLabel: '',
    lines: [{ id: name, kind: 'cut', path: polylinePath(corners, true) }],
  };
}

const LAYOUT = layoutTemplate({
  buildName: 'Warden',
  date: '',
  pieces: [board('Panel', 390, 500), board('Band', 560, 70), board('Tab', 60, 40)],
  pageSetup: { paper: 'A4', marginMm: 8, overlapMm: 10 },
});
const { paper } = LAYOUT.frame;

function overlapMm(a: PageSpot, b: PageSpot): number {
  const across = paper.widthMm - Math.abs(a.at.x - b.at.x);
  const up = paper.heightMm - Math.abs(a.at.y - b.at.y);
  return Math.min(across, up);
}

const pairs = (spots: readonly PageSpot[]) =>
  spots.flatMap((a, i) => spots.slice(i + 1).map((b) => [a, b] as const));

describe('pages on the worktable', () => {
  it('show every page once, the cover too, inside the bounds', () => {
    for (const mode of ['apart', 'taped'] as const) {
      const { spots, boundsMm } = arrangePages(LAYOUT, mode);
      expect(spots.map(({ pageNumber }) => pageNumber).sort((a, b) => a - b)).toEqual(
        Array.from({ length: LAYOUT.pageCount }, (_, i) => i + 1),
      );
      for (const { at } of spots) {
        expect(at.x).toBeGreaterThanOrEqual(boundsMm.minX - 1e-9);
        expect(at.y).toBeGreaterThanOrEqual(boundsMm.minY - 1e-9);
        expect(at.x + paper.widthMm).toBeLessThanOrEqual(boundsMm.maxX + 1e-9);
        expect(at.y + paper.heightMm).toBeLessThanOrEqual(boundsMm.maxY + 1e-9);
      }
    }
  });

  it('lie clear of each other when apart', () => {
    for (const [a, b] of pairs(arrangePages(LAYOUT, 'apart').spots)) expect(overlapMm(a, b)).toBeLessThan(0);
  });

  it('leave room for the title over a page that lies below another', () => {
    const below = pairs(arrangePages(LAYOUT, 'apart').spots).filter(
      ([a, b]) => Math.abs(a.at.x - b.at.x) < paper.widthMm,
    );
    expect(below.length).toBeGreaterThan(0);
    for (const [a, b] of below) {
      expect(Math.abs(a.at.y - b.at.y) - paper.heightMm).toBeGreaterThanOrEqual(TITLE_ROOM_MM - 1e-9);
    }
  });

  it('lie on each other as they are taped: the same place of the pattern at the same place of the table', () => {
    const { spots } = arrangePages(LAYOUT, 'taped');
    const origin = originOnPaper(LAYOUT.frame);
    const tiled = LAYOUT.groups.filter(({ members }) => members.length > 1);
    expect(tiled.length).toBeGreaterThan(0);
    for (const { members } of tiled) {
      const groupAt = members.map((member) => {
        const { at } = spots.find(({ sheet }) => sheet === member.sheet)!;
        return { x: at.x + origin.x - member.origin.x, y: at.y + origin.y - member.origin.y };
      });
      for (const { x, y } of groupAt) {
        expect(x).toBeCloseTo(groupAt[0]!.x, 9);
        expect(y).toBeCloseTo(groupAt[0]!.y, 9);
      }
    }
  });
});
