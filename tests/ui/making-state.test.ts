import { describe, expect, it } from 'vitest';
import { addPrinter, setFoldLimit } from '../../src/build/commands/build-setup.ts';
import { newBuild } from '../../src/build/commands/new-build.ts';
import { addPiece, includePiece, setAxis, setPieceCounts, setWrap } from '../../src/build/commands/pieces.ts';
import { changeWearer } from '../../src/build/commands/wearers-and-foams.ts';
import { polylinePath } from '../../src/geometry/path.ts';
import { fitState } from '../../src/ui/fit/fit-state.ts';
import { thicknessWords } from '../../src/ui/fit/foam-words.ts';
import { wrapInForce } from '../../src/build/wrap-in-force.ts';
import { foldCheckState } from '../../src/ui/fold-check/fold-check-state.ts';
import { printedPieces, templateInputOf } from '../../src/ui/template/template-input-of.ts';
import { templateState } from '../../src/ui/template/template-state.ts';

const stamp = (id: string) => ({ id, when: '2026-01-01T10:00:00.000Z' });
const BARE = newBuild({ stamp: stamp('build'), name: 'Marsh Heron Warden' });

/** A strip 300 x 40 mm about x = 0 whose right end reaches `extraMm` farther. */
function withStrip(extraMm: number) {
  const corners = [
    { x: 150 + extraMm, y: -20 },
    { x: 150 + extraMm, y: 20 },
    { x: -150, y: 20 },
    { x: -150, y: -20 },
  ];
  const lines = [{ id: 'outer', kind: 'cut', path: polylinePath(corners, true) }] as const;
  return addPiece(BARE, { stamp: stamp('band'), name: 'Band', lines, why: 'drawn' });
}

const UPRIGHT = { point: { x: 0, y: 0 }, angleRad: Math.PI / 2, rule: 'by-hand' } as const;

describe('how the fold check stands', () => {
  it('is to do until a piece has a fold line', () => {
    expect(foldCheckState(BARE)).toBe('to do');
    expect(foldCheckState(withStrip(0))).toBe('to do');
  });

  it('is done within the limit and asks for another look beyond it, by the limit of the build', () => {
    const even = setAxis(withStrip(0.5), { pieceId: 'band', axis: UPRIGHT });
    const uneven = setAxis(withStrip(3), { pieceId: 'band', axis: UPRIGHT });
    expect(foldCheckState(even)).toBe('done');
    expect(foldCheckState(uneven)).toBe('look again');
    expect(foldCheckState(setFoldLimit(uneven, { foldLimitMm: 5 }))).toBe('done');
    expect(foldCheckState(includePiece(uneven, { pieceId: 'band', included: false }))).toBe('to do');
  });

  it('asks for another look when the fold line does not pass through the piece', () => {
    const axis = { ...UPRIGHT, point: { x: 900, y: 0 } };
    expect(foldCheckState(setAxis(withStrip(0), { pieceId: 'band', axis }))).toBe('look again');
  });
});

describe('how the fit stands', () => {
  it('compares the kept wrap line with head, foam and coverage', () => {
    const build = withStrip(0);
    expect(fitState(build)).toBe('to do');
    const folded = setAxis(build, { pieceId: 'band', axis: UPRIGHT });
    const wrap = wrapInForce(folded, folded.pieces[0]!)!;
    // Suggested: square to the fold line, half round a 570 mm head in 5 mm foam.
    expect(wrap.line.to.x - wrap.line.from.x).toBeCloseTo(300, 9);
    expect(wrap.coverageRad).toBeCloseTo(Math.PI, 9);
    const kept = setWrap(folded, { pieceId: 'band', wrap });
    // pi / (2 pi) * 570 + pi * 0.5 * 5 = 292.85 mm wanted, 300 mm there.
    expect(fitState(kept)).toBe('look again');
    // (300 - 7.85) * 2 = 584.3 mm of head would be right.
    expect(fitState(changeWearer(kept, { wearerId: 'wearer', girthMm: 584 }))).toBe('done');
  });

  it('says what the thickness of the foam does', () => {
    const { foams } = BARE;
    const six = foams.find(({ thicknessMm }) => thicknessMm === 6)!;
    // All round: pi * 6 = 18.85 mm, and pi * 12 - pi * 6 again as much.
    expect(thicknessWords(six, foams, 2 * Math.PI)).toBe(
      'In 6 mm foam this piece is cut 18.8 mm longer than in paper, because foam bends about its middle; in 10 mm foam it would be cut 12.6 mm longer than that.',
    );
  });
});

describe('what goes into the template', () => {
  it('counts straight and mirrored pieces together for the print', () => {
    const build = setPieceCounts(withStrip(0), { pieceId: 'band', count: 1, mirroredCount: 2 });
    expect(templateInputOf(build).pieces).toMatchObject([{ name: 'Band', count: 3, mirroredCount: 2 }]);
  });

  it('leaves out pieces that are left out or cut no times, and then asks for another look', () => {
    expect(templateState(BARE)).toBe('to do');
    const build = withStrip(0);
    expect(templateState(build)).toBe('done');
    const none = setPieceCounts(build, { pieceId: 'band', count: 0 });
    expect(printedPieces(none)).toEqual([]);
    expect(templateState(none)).toBe('look again');
    expect(templateState(includePiece(build, { pieceId: 'band', included: false }))).toBe('look again');
  });

  it('is corrected for the printer that was measured', () => {
    const check = { acrossMm: 148.5, alongMm: 199 };
    const build = addPrinter(withStrip(0), { stamp: stamp('ink'), name: 'Ink', check });
    const { printerScale } = templateInputOf(build).pageSetup;
    // The bars are 150 and 200 mm long when nothing is amiss.
    expect(printerScale!.across).toBeCloseTo(0.99, 12);
    expect(printerScale!.along).toBeCloseTo(0.995, 12);
    expect(templateInputOf(withStrip(0)).pageSetup).not.toHaveProperty('printerScale');
  });

  it('prints the same again as long as nothing changes', () => {
    expect(templateInputOf(withStrip(0))).toEqual(templateInputOf(withStrip(0)));
  });
});
