import { describe, expect, it } from 'vitest';
import { polylinePath } from '../../src/geometry/path.ts';
import { type PathSink, shortNumber, SvgPathData, writePath, yDown } from '../../src/template/sink.ts';
import { leafPath } from './marsh-heron.ts';

function verbsOf(write: (sink: PathSink) => void): string[] {
  const verbs: string[] = [];
  write({
    moveTo: (...at) => verbs.push(`move ${at.join()}`),
    lineTo: (...at) => verbs.push(`line ${at.join()}`),
    cubicTo: (...at) => verbs.push(`cubic ${at.join()}`),
    close: () => verbs.push('close'),
  });
  return verbs;
}

const triangle = [
  { x: 0, y: 0 },
  { x: 4, y: 0 },
  { x: 0, y: 3 },
];

describe('a path written into a sink', () => {
  it('begins with a move, keeps its cubics and ends with close when closed', () => {
    const verbs = verbsOf((sink) => writePath(leafPath(30, 6), sink));
    expect(verbs).toEqual(['move 0,0', 'cubic 10,-6,20,-6,30,0', 'cubic 20,6,10,6,0,0', 'close']);
  });

  it('lets close draw the last straight segment', () => {
    expect(verbsOf((sink) => writePath(polylinePath(triangle, true), sink))).toEqual([
      'move 0,0',
      'line 4,0',
      'line 0,3',
      'close',
    ]);
  });

  it('stays open when open', () => {
    expect(verbsOf((sink) => writePath(polylinePath(triangle, false), sink))).toEqual([
      'move 0,0',
      'line 4,0',
      'line 0,3',
    ]);
  });

  it('of a single point is one move', () => {
    expect(verbsOf((sink) => writePath(polylinePath([{ x: 1, y: 2 }], false), sink))).toEqual(['move 1,2']);
  });

  it('runs downwards behind yDown, every coordinate pair of it', () => {
    expect(verbsOf((sink) => writePath(leafPath(30, 6), yDown(sink, 100)))).toEqual([
      'move 0,100',
      'cubic 10,106,20,106,30,100',
      'cubic 20,94,10,94,0,100',
      'close',
    ]);
  });
});

describe('SVG path data', () => {
  it('is short and never in exponent form', () => {
    const data = new SvgPathData();
    data.moveTo(-0, 1e-9);
    data.lineTo(1 / 3, -1e-5);
    data.lineTo(123456.78999, 1e6);
    data.close();
    expect(data.toString()).toBe('M0 0L0.3333 0L123456.79 1000000Z');
  });

  it.each([
    [0, '0'],
    [-0.00001, '0'],
    [100, '100'],
    [10.5, '10.5'],
    [-2.00004, '-2'],
    [0.0001, '0.0001'],
  ])('writes %f as %s', (value, text) => {
    expect(shortNumber(value)).toBe(text);
  });
});
