// The few vector operations that the view needs.
import type { Vec3 } from '../core/messages'

export const add = (a: Vec3, b: Vec3): Vec3 => [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
export const sub = (a: Vec3, b: Vec3): Vec3 => [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
export const times = (a: Vec3, k: number): Vec3 => [a[0] * k, a[1] * k, a[2] * k]
export const along = (a: Vec3, way: Vec3, k: number): Vec3 => [a[0] + way[0] * k, a[1] + way[1] * k, a[2] + way[2] * k]
export const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
export const cross = (a: Vec3, b: Vec3): Vec3 => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
export const norm = (a: Vec3): number => Math.hypot(a[0], a[1], a[2])
export const apart = (a: Vec3, b: Vec3): number => norm(sub(a, b))
export const mix = (a: Vec3, b: Vec3, t: number): Vec3 => [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]), a[2] + t * (b[2] - a[2])]
export const unit = (a: Vec3): Vec3 => {
  const n = norm(a)
  return n > 1e-12 ? times(a, 1 / n) : [0, 1, 0]
}
// What of a lies across n, a unit vector.
export const across = (a: Vec3, n: Vec3): Vec3 => along(a, n, -dot(a, n))
