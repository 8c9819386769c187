import type { Path } from '../../src/geometry/path.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';

/** A frilled oval: as many smooth joints as asked for, on a piece of 300 x 200 mm. */
export function frill(joints: number): Path {
  const at = (k: number): PlanePoint => {
    const angle = (2 * Math.PI * k) / joints;
    const out = 1 + 0.03 * Math.sin(60 * angle);
    return { x: 150 * out * Math.cos(angle), y: 100 * out * Math.sin(angle) };
  };
  const third = (from: PlanePoint, to: PlanePoint, t: number) => ({
    x: from.x + t * (to.x - from.x),
    y: from.y + t * (to.y - from.y),
  });
  const segments = Array.from({ length: joints }, (_, k) => {
    const [from, to] = [at(k), at((k + 1) % joints)];
    return {
      kind: 'cubic',
      c1: third(from, to, 1 / 3),
      c2: third(from, to, 2 / 3),
      to,
      joint: 'smooth',
    } as const;
  });
  return { closed: true, start: at(0), segments };
}
