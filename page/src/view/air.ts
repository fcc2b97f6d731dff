// How much hair and head there is in space, on a grid: light is followed through it. Two bytes a point: hair, in hairs that a
// metre of way meets, and the distance to the bust.
import type { Field } from '../core/messages'
import { NODES } from './shapes'

export const HAIR_MOST = 4000 // hairs a metre
export const FAR = 0.064 // metres: distances are told up to here, to both sides
const HAIR_WIDE = 75e-6 // metres: of a section of 4500 square micrometres

export function solidInto(out: Uint8Array, field: Field): void {
  for (let i = 0; i < field.values.length; i++) {
    const d = Math.max(-1, Math.min(1, (field.values[i] ?? 0) / FAR))
    out[2 * i + 1] = Math.round(127.5 + 127.5 * d)
  }
}

let sum = new Float32Array(0) // kept: new memory is dear

// Every piece of every hair, shared among the eight points round its middle. `each` is the number of real hairs that one
// stands for.
export function hairInto(out: Uint8Array, field: Field, at: Float32Array, hairs: number, each: number): void {
  const [wide, high, deep] = field.size
  const size = wide * high * deep
  if (sum.length === size) sum.fill(0)
  else sum = new Float32Array(size)
  const cell = field.cell
  const up = wide, far = wide * high
  for (let i = 0; i < hairs; i++) {
    let p = 3 * NODES * i
    for (let k = 1; k < NODES; k++, p += 3) {
      const x0 = at[p] ?? 0, y0 = at[p + 1] ?? 0, z0 = at[p + 2] ?? 0
      const x1 = at[p + 3] ?? 0, y1 = at[p + 4] ?? 0, z1 = at[p + 5] ?? 0
      const dx = x1 - x0, dy = y1 - y0, dz = z1 - z0
      const length = Math.sqrt(dx * dx + dy * dy + dz * dz)
      if (length < 1e-7) continue
      const x = ((x0 + x1) / 2 - field.low[0]) / cell, y = ((y0 + y1) / 2 - field.low[1]) / cell, z = ((z0 + z1) / 2 - field.low[2]) / cell
      if (!(x >= 0 && y >= 0 && z >= 0 && x < wide - 1 && y < high - 1 && z < deep - 1)) continue
      const ix = x | 0, iy = y | 0, iz = z | 0
      const fx = x - ix, fy = y - iy, fz = z - iz
      const q = ix + up * iy + far * iz
      const a = length * (1 - fz), b = length * fz
      sum[q] = (sum[q] ?? 0) + a * (1 - fx) * (1 - fy)
      sum[q + 1] = (sum[q + 1] ?? 0) + a * fx * (1 - fy)
      sum[q + up] = (sum[q + up] ?? 0) + a * (1 - fx) * fy
      sum[q + up + 1] = (sum[q + up + 1] ?? 0) + a * fx * fy
      sum[q + far] = (sum[q + far] ?? 0) + b * (1 - fx) * (1 - fy)
      sum[q + far + 1] = (sum[q + far + 1] ?? 0) + b * fx * (1 - fy)
      sum[q + far + up] = (sum[q + far + up] ?? 0) + b * (1 - fx) * fy
      sum[q + far + up + 1] = (sum[q + far + up + 1] ?? 0) + b * fx * fy
    }
  }
  const scale = (each * HAIR_WIDE * 255) / (cell * cell * cell * HAIR_MOST)
  for (let i = 0; i < sum.length; i++) out[2 * i] = Math.min(255, Math.round((sum[i] ?? 0) * scale))
}
