// What the hand is on: the hair that is seen at a place of the picture, and the place on the scalp.
import type { Bust, Vec3 } from '../core/messages'
import { axes, FIELD, type Eye, type Frame, type Ray } from './camera'
import { NODES } from './shapes'
import { cross, dot, sub } from './vec'

// The hair nearest to the eye among those that pass within `reach` pixels; -1 none.
export function hairAt(eye: Eye, frame: Frame, shape: Float32Array, hairs: number, x: number, y: number, reach = 7): number {
  const { right, up, toward, at } = axes(eye)
  const scale = frame.high / 2 / Math.tan(FIELD / 2)
  let best = -1, least = Infinity
  for (let i = 0; i < hairs; i++)
    for (let k = 1; k < NODES; k++) {
      const p = 3 * (NODES * i + k)
      const dx = (shape[p] ?? 0) - at[0], dy = (shape[p + 1] ?? 0) - at[1], dz = (shape[p + 2] ?? 0) - at[2]
      const depth = -(dx * toward[0] + dy * toward[1] + dz * toward[2])
      if (depth >= least || depth < 0.01) continue
      const sx = frame.wide / 2 + ((dx * right[0] + dy * right[1] + dz * right[2]) * scale) / depth
      if (Math.abs(sx - x) > reach) continue
      const sy = frame.high / 2 - ((dx * up[0] + dy * up[1] + dz * up[2]) * scale) / depth
      if (Math.abs(sy - y) > reach) continue
      least = depth
      best = i
    }
  return best
}

// Where a ray first meets the bust.
export function meets(ray: Ray, bust: Bust): Vec3 | null {
  const { points: at, corners } = bust
  let least = Infinity
  for (let i = 0; i < corners.length; i += 3) {
    const a = 4 * (corners[i] ?? 0), b = 4 * (corners[i + 1] ?? 0), c = 4 * (corners[i + 2] ?? 0)
    const ax = at[a] ?? 0, ay = at[a + 1] ?? 0, az = at[a + 2] ?? 0
    // Möller and Trumbore 1997, doi 10.1080/10867651.1997.10487468
    const ux = (at[b] ?? 0) - ax, uy = (at[b + 1] ?? 0) - ay, uz = (at[b + 2] ?? 0) - az
    const vx = (at[c] ?? 0) - ax, vy = (at[c + 1] ?? 0) - ay, vz = (at[c + 2] ?? 0) - az
    const [wx, wy, wz] = ray.way
    const px = wy * vz - wz * vy, py = wz * vx - wx * vz, pz = wx * vy - wy * vx
    const det = ux * px + uy * py + uz * pz
    if (det < 1e-14) continue // seen from behind
    const tx = ray.from[0] - ax, ty = ray.from[1] - ay, tz = ray.from[2] - az
    const s = (tx * px + ty * py + tz * pz) / det
    if (s < 0 || s > 1) continue
    const qx = ty * uz - tz * uy, qy = tz * ux - tx * uz, qz = tx * uy - ty * ux
    const t = (wx * qx + wy * qy + wz * qz) / det
    if (t < 0 || s + t > 1) continue
    const far = (vx * qx + vy * qy + vz * qz) / det
    if (far > 0 && far < least) least = far
  }
  if (least === Infinity) return null
  return [ray.from[0] + ray.way[0] * least, ray.from[1] + ray.way[1] * least, ray.from[2] + ray.way[2] * least]
}

// Where a ray meets a plane; null where it runs along it or away from it.
export function meetsPlane(ray: Ray, through: Vec3, normal: Vec3): Vec3 | null {
  const down = dot(ray.way, normal)
  const far = dot(sub(through, ray.from), normal) / down
  if (Math.abs(down) < 0.05 || !(far > 0)) return null
  return [ray.from[0] + ray.way[0] * far, ray.from[1] + ray.way[1] * far, ray.from[2] + ray.way[2] * far]
}

// How far along a line through `from` the point nearest to a ray lies, in units of `way`.
export function nearestOn(ray: Ray, from: Vec3, way: Vec3): number {
  const across = cross(way, ray.way)
  const size = dot(across, across)
  if (size < 1e-9) return 0
  return dot(cross(sub(ray.from, from), ray.way), across) / size
}

export function nearestRoot(roots: Float32Array, p: Vec3): number {
  let best = -1, least = Infinity
  for (let i = 0; i < roots.length / 3; i++) {
    const d = ((roots[3 * i] ?? 0) - p[0]) ** 2 + ((roots[3 * i + 1] ?? 0) - p[1]) ** 2 + ((roots[3 * i + 2] ?? 0) - p[2]) ** 2
    if (d < least) {
      least = d
      best = i
    }
  }
  return best
}
