// Which hairs grow beside a hair and go its way: between two such the screen shows more hairs than were computed. Never across
// a parting, nor from a long layer to a short one.
import { lengthOf, NODES } from './shapes'

export const BESIDE = 4

// The nearest roots of each hair, its own section's only; -1 where there are not so many.
export function nearest(roots: Float32Array, sections: Int16Array): Int32Array {
  const hairs = sections.length
  const cell = 0.004
  const buckets = new Map<number, number[]>()
  const key = (x: number, y: number, z: number): number => (x + 512) * 1048576 + (y + 512) * 1024 + (z + 512)
  const part = (i: number, c: number): number => Math.floor((roots[3 * i + c] ?? 0) / cell)
  for (let i = 0; i < hairs; i++) {
    const at = key(part(i, 0), part(i, 1), part(i, 2))
    const there = buckets.get(at)
    if (there) there.push(i)
    else buckets.set(at, [i])
  }
  const out = new Int32Array(BESIDE * hairs).fill(-1)
  const best = new Float64Array(BESIDE)
  for (let i = 0; i < hairs; i++) {
    best.fill(Infinity)
    const bx = part(i, 0), by = part(i, 1), bz = part(i, 2)
    for (let x = -1; x <= 1; x++)
      for (let y = -1; y <= 1; y++)
        for (let z = -1; z <= 1; z++)
          for (const j of buckets.get(key(bx + x, by + y, bz + z)) ?? []) {
            if (j === i || sections[j] !== sections[i]) continue
            const dx = (roots[3 * j] ?? 0) - (roots[3 * i] ?? 0), dy = (roots[3 * j + 1] ?? 0) - (roots[3 * i + 1] ?? 0), dz = (roots[3 * j + 2] ?? 0) - (roots[3 * i + 2] ?? 0)
            const d = dx * dx + dy * dy + dz * dz
            let n = BESIDE
            while (n > 0 && d < (best[n - 1] ?? 0)) n--
            if (n === BESIDE) continue
            for (let k = BESIDE - 1; k > n; k--) {
              best[k] = best[k - 1] ?? Infinity
              out[BESIDE * i + k] = out[BESIDE * i + k - 1] ?? -1
            }
            best[n] = d
            out[BESIDE * i + n] = j
          }
  }
  return out
}

// The same with the hair itself where the other goes another way.
export function alike(out: Float32Array, beside: Int32Array, at: Float32Array): void {
  const hairs = beside.length / BESIDE
  const lengths = new Float32Array(hairs)
  for (let i = 0; i < hairs; i++) lengths[i] = lengthOf(at, i)
  for (let i = 0; i < hairs; i++)
    for (let k = 0; k < BESIDE; k++) {
      const j = beside[BESIDE * i + k] ?? -1
      out[BESIDE * i + k] = j >= 0 && together(at, lengths, i, j) ? j : i
    }
}

function together(at: Float32Array, lengths: Float32Array, i: number, j: number): boolean {
  const a = lengths[i] ?? 0, b = lengths[j] ?? 0
  if (Math.abs(a - b) > 0.12 * Math.max(a, b) + 0.002) return false
  let apart = 0
  for (let k = 0; k < NODES; k += 3) {
    const p = 3 * (NODES * i + k), q = 3 * (NODES * j + k)
    const x = (at[p] ?? 0) - (at[q] ?? 0), y = (at[p + 1] ?? 0) - (at[q + 1] ?? 0), z = (at[p + 2] ?? 0) - (at[q + 2] ?? 0)
    const d = Math.sqrt(x * x + y * y + z * z)
    if (k === 0) apart = 2.2 * d + 0.003
    else if (d > apart) return false
  }
  return true
}
