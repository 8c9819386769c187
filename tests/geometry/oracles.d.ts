/** The little that the tests use of two libraries that ship no types. */

declare module 'bezier-js' {
  export class Bezier {
    constructor(coordinates: number[]);
    length(): number;
    get(t: number): { x: number; y: number };
    derivative(t: number): { x: number; y: number };
    curvature(t: number): { k: number; r: number };
    project(point: { x: number; y: number }): { x: number; y: number; t?: number; d?: number };
  }
}

declare module 'jsts/org/locationtech/jts/geom/Coordinate.js' {
  interface Coordinate {
    readonly x: number;
    readonly y: number;
  }
  const Coordinate: new (x: number, y: number) => Coordinate;
  export default Coordinate;
}

declare module 'jsts/org/locationtech/jts/geom/GeometryFactory.js' {
  import type Coordinate from 'jsts/org/locationtech/jts/geom/Coordinate.js';

  export interface Geometry {
    getLength(): number;
    getArea(): number;
    distance(other: Geometry): number;
  }

  export default class GeometryFactory {
    createPoint(at: Coordinate): Geometry;
    createLineString(points: Coordinate[]): Geometry;
    createPolygon(ring: Coordinate[]): Geometry;
  }
}

declare module 'jsts/org/locationtech/jts/algorithm/distance/DiscreteHausdorffDistance.js' {
  import type { Geometry } from 'jsts/org/locationtech/jts/geom/GeometryFactory.js';

  const DiscreteHausdorffDistance: {
    readonly distance: (a: Geometry, b: Geometry, densifyFraction?: number) => number;
  };
  export default DiscreteHausdorffDistance;
}

declare module 'jsts/org/locationtech/jts/operation/distance/DistanceOp.js' {
  import type { Geometry } from 'jsts/org/locationtech/jts/geom/GeometryFactory.js';

  const DistanceOp: { readonly distance: (a: Geometry, b: Geometry) => number };
  export default DistanceOp;
}

declare module 'jsts/org/locationtech/jts/operation/buffer/BufferOp.js' {
  import type { Geometry } from 'jsts/org/locationtech/jts/geom/GeometryFactory.js';

  const BufferOp: {
    readonly bufferOp: (geometry: Geometry, distance: number, quadrantSegments: number) => Geometry;
  };
  export default BufferOp;
}

declare module 'jsts/org/locationtech/jts/linearref/LengthIndexedLine.js' {
  import type Coordinate from 'jsts/org/locationtech/jts/geom/Coordinate.js';
  import type { Geometry } from 'jsts/org/locationtech/jts/geom/GeometryFactory.js';

  export default class LengthIndexedLine {
    constructor(line: Geometry);
    extractPoint(index: number): Coordinate;
  }
}

declare module 'jsts/org/locationtech/jts/operation/overlay/OverlayOp.js' {
  import type { Geometry } from 'jsts/org/locationtech/jts/geom/GeometryFactory.js';

  const OverlayOp: {
    readonly union: (a: Geometry, b: Geometry) => Geometry;
    readonly difference: (a: Geometry, b: Geometry) => Geometry;
  };
  export default OverlayOp;
}
