/** Arrows in space. */

/** Cartesian components; the frame and the unit are said where it is made. */
export interface Vector3 {
  readonly x: number;
  readonly y: number;
  readonly z: number;
}

/** One less the other. */
export function less(a: Vector3, b: Vector3): Vector3 {
  return { x: a.x - b.x, y: a.y - b.y, z: a.z - b.z };
}

/** The vector's length. */
export function length({ x, y, z }: Vector3): number {
  return Math.hypot(x, y, z);
}

/** The vector scaled to length 1. */
export function unit(vector: Vector3): Vector3 {
  const long = length(vector);
  return { x: vector.x / long, y: vector.y / long, z: vector.z / long };
}
