// Shapes of all hairs, as nodes: x, y, z by hair and node. How each state of hair looks, how one becomes another, and how a
// shape goes into a texture.
import type { Cut, Fall, Held } from '../core/messages'

export const NODES = 16

// Straight out of the scalp at its length.
export function standing(cut: Cut): Float32Array {
  const out = new Float32Array(3 * NODES * cut.hairs)
  for (let i = 0, to = 0; i < cut.hairs; i++) {
    const length = cut.lengths[i] ?? 0
    for (let k = 0; k < NODES; k++)
      for (let c = 0; c < 3; c++) out[to++] = (cut.roots[3 * i + c] ?? 0) + ((cut.normals[3 * i + c] ?? 0) * length * k) / (NODES - 1)
  }
  return out
}

export function none(cut: Cut): Float32Array {
  const out = new Float32Array(3 * NODES * cut.hairs)
  for (let i = 0, to = 0; i < cut.hairs; i++) for (let k = 0; k < NODES; k++) for (let c = 0; c < 3; c++) out[to++] = cut.roots[3 * i + c] ?? 0
  return out
}

// Row i of `from` laid again at another length: cut off, or grown on straight.
export function refit(out: Float32Array, from: Float32Array, i: number, length: number): void {
  const row = 3 * NODES * i
  let k = 0 // the piece of the way that is gone along
  let gone = 0 // length before it
  let piece = distance(from, row, row + 3)
  for (let n = 0; n < NODES; n++) {
    const want = (length * n) / (NODES - 1)
    while (k < NODES - 2 && gone + piece < want) {
      gone += piece
      k++
      piece = distance(from, row + 3 * k, row + 3 * k + 3)
    }
    const t = piece > 1e-9 ? (want - gone) / piece : 0
    for (let c = 0; c < 3; c++) {
      const a = from[row + 3 * k + c] ?? 0
      out[row + 3 * n + c] = a + t * ((from[row + 3 * k + 3 + c] ?? 0) - a)
    }
  }
}

// Math.hypot takes many times as long.
function distance(at: Float32Array, a: number, b: number): number {
  const x = (at[b] ?? 0) - (at[a] ?? 0), y = (at[b + 1] ?? 0) - (at[a + 1] ?? 0), z = (at[b + 2] ?? 0) - (at[a + 2] ?? 0)
  return Math.sqrt(x * x + y * y + z * z)
}

export function lengthOf(at: Float32Array, i: number): number {
  let sum = 0
  for (let k = 1; k < NODES; k++) sum += distance(at, 3 * (NODES * i + k - 1), 3 * (NODES * i + k))
  return sum
}

// As it lies where the fall is of another cut: as it lay, at its new length, until it has fallen again.
export function fallen(out: Float32Array, cut: Cut, fall: Fall): Float32Array {
  out.set(fall.at)
  for (let i = 0; i < cut.hairs; i++) {
    const was = fall.lengths[i] ?? 0
    const now = cut.lengths[i] ?? 0
    if (Math.abs(was - now) > 1e-5 && was > 1e-6) refit(out, fall.at, i, (lengthOf(fall.at, i) * now) / was)
  }
  return out
}

// As it was held where it was cut; other hair as `rest` has it.
export function held(cut: Cut, from: Held, rest: Float32Array): Float32Array {
  const out = from.at.slice()
  for (let i = 0; i < cut.hairs; i++) {
    const row = 3 * NODES * i
    if (Number.isNaN(out[row] ?? NaN)) out.set(rest.subarray(row, row + 3 * NODES), row)
  }
  return out
}

// Between two shapes of hair i: its pieces turn from one direction to the other, and keep their length on the way.
export function between(out: Float32Array, a: Float32Array, b: Float32Array, i: number, t: number): void {
  const row = 3 * NODES * i
  for (let c = 0; c < 3; c++) out[row + c] = b[row + c] ?? 0
  for (let k = 1; k < NODES; k++) {
    const p = row + 3 * k
    let x = 0, y = 0, z = 0, la = 0, lb = 0
    const ax = (a[p] ?? 0) - (a[p - 3] ?? 0), ay = (a[p + 1] ?? 0) - (a[p - 2] ?? 0), az = (a[p + 2] ?? 0) - (a[p - 1] ?? 0)
    const bx = (b[p] ?? 0) - (b[p - 3] ?? 0), by = (b[p + 1] ?? 0) - (b[p - 2] ?? 0), bz = (b[p + 2] ?? 0) - (b[p - 1] ?? 0)
    la = Math.sqrt(ax * ax + ay * ay + az * az)
    lb = Math.sqrt(bx * bx + by * by + bz * bz)
    const u = la > 1e-9 ? (1 - t) / la : 0, v = lb > 1e-9 ? t / lb : 0
    x = u * ax + v * bx
    y = u * ay + v * by
    z = u * az + v * bz
    const n = Math.sqrt(x * x + y * y + z * z)
    const s = n > 1e-6 ? (la + t * (lb - la)) / n : 0
    out[p] = (out[p - 3] ?? 0) + x * s
    out[p + 1] = (out[p - 2] ?? 0) + y * s
    out[p + 2] = (out[p - 1] ?? 0) + z * s
  }
}

// 0 to 1, slow at both ends.
export const ease = (t: number): number => (t <= 0 ? 0 : t >= 1 ? 1 : t * t * t * (t * (6 * t - 15) + 10))

// ---- into a texture ----

export const POINTS = 32 // of each hair there: nodes with a point between each two, and one to spare
const PER_ROW = 32 // hairs
export const TEXTURE_WIDE = PER_ROW * POINTS
export const textureHigh = (hairs: number): number => Math.max(1, Math.ceil(hairs / PER_ROW))

// How far from the origin anything reaches, in steps, so that it seldom changes.
export function reachOf(at: Float32Array): number {
  let low = 0, high = 0
  for (let i = 0; i < at.length; i++) {
    const x = at[i] ?? 0
    if (x > high) high = x
    else if (x < low) low = x
  }
  return Math.max(0.5, Math.ceil(Math.max(high, -low) / 0.25) * 0.25)
}

// Nodes as whole numbers of reach / 32767, with points between that lie on a Catmull-Rom spline. Beyond either end it goes on
// as it was.
export function pack(out: Int16Array, at: Float32Array, hairs: number, reach: number): void {
  const scale = 32767 / reach, near = 0.5625 * scale, far = 0.0625 * scale
  for (let i = 0; i < hairs; i++) {
    for (let c = 0; c < 3; c++) {
      let from = 3 * NODES * i + c, to = 4 * POINTS * i + c
      let one = at[from] ?? 0, two = at[from + 3] ?? 0
      let zero = 2 * one - two
      for (let k = 0; k < NODES - 1; k++, from += 3, to += 8) {
        const three = k < NODES - 2 ? (at[from + 6] ?? 0) : 2 * two - one
        out[to] = one * scale
        out[to + 4] = (one + two) * near - (zero + three) * far
        zero = one
        one = two
        two = three
      }
      out[to] = out[to + 4] = one * scale
    }
  }
}
