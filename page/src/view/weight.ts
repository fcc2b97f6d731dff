// The weight line on the hair as it lies: at the height that the reading tells for each bearing, on the outside of the hair there.
import type { AroundFallen, Fall, Vec3 } from '../core/messages'

export interface WeightPiece {
  readonly from: Vec3
  readonly to: Vec3
  readonly out: Vec3 // level, away from the head
  readonly sharpness: number
}

const MIDDLE = -0.0045 // metres: the axis that bearings turn about lies so far behind the ears on a mean head
const BESIDE = 0.006 // metres above and below in which hair counts
const JUMP = 0.015 // metres: two heights farther apart are two lines
const WIDE = 0.16 // metres from the axis beyond which hair lies on the shoulders or away from the head
const LEAST = 4 // bearings that make a line

const turn = (bearing: number): number => ((bearing % (2 * Math.PI)) + 2 * Math.PI) % (2 * Math.PI)
const middle = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[values.length >> 1] ?? 0

// How far out hair lies at the height of each line.
function outside(rows: readonly AroundFallen[], at: Float32Array): Float64Array {
  const far = new Float64Array(rows.length)
  for (let p = 0; p + 2 < at.length; p += 3) {
    const x = at[p] ?? 0, z = (at[p + 2] ?? 0) - MIDDLE
    const k = Math.round((turn(Math.atan2(x, z)) / (2 * Math.PI)) * rows.length) % rows.length
    const height = rows[k]?.weight
    if (height === null || height === undefined || Math.abs((at[p + 1] ?? 0) - height) > BESIDE) continue
    const out = Math.hypot(x, z)
    if (out < WIDE) far[k] = Math.max(far[k] ?? 0, out)
  }
  return far
}

// Bearings in a row whose heights go on from one another; a row that goes all the way round is closed.
function runs(rows: readonly AroundFallen[]): number[][] {
  const n = rows.length
  const goesOn = (k: number): boolean => {
    const a = rows[k % n]?.weight, b = rows[(k + 1) % n]?.weight
    return typeof a === 'number' && typeof b === 'number' && Math.abs(a - b) <= JUMP
  }
  const gap = rows.findIndex((_, k) => !goesOn(k))
  if (gap < 0) return n ? [Array.from({ length: n + 1 }, (_, k) => k % n)] : []
  const out: number[][] = []
  let run: number[] = []
  for (let i = 1; i <= n; i++) {
    const k = (gap + i) % n
    run.push(k)
    if (goesOn(k)) continue
    if (run.length >= LEAST) out.push(run)
    run = []
  }
  return out
}

export function weightOn(around: readonly AroundFallen[], fall: Pick<Fall, 'at'>): WeightPiece[] {
  const rows = [...around].sort((a, b) => turn(a.bearing) - turn(b.bearing))
  const far = outside(rows, fall.at)
  return runs(rows).flatMap((run) => {
    // A hair that stands out, or a bearing where few end, does not bend the line: the middle of five, then their mean with both
    // neighbours.
    const eased = (of: (k: number) => number): number[] => {
      const five = run.map((_, i) => middle(run.slice(Math.max(0, i - 2), i + 3).map(of)))
      return five.map((value, i) => ((five[i - 1] ?? value) + 2 * value + (five[i + 1] ?? value)) / 4)
    }
    const high = eased((k) => rows[k]?.weight ?? 0)
    const wide = eased((k) => Math.max(rows[k]?.weight_far ?? 0, far[k] ?? 0) + 0.001)
    const at = (i: number): Vec3 => {
      const bearing = rows[run[i] as number]?.bearing ?? 0
      return [(wide[i] ?? 0) * Math.sin(bearing), high[i] ?? 0, MIDDLE + (wide[i] ?? 0) * Math.cos(bearing)]
    }
    return run.slice(1).map((k, i) => {
      const bearing = rows[run[i] as number]?.bearing ?? 0
      const sharpness = ((rows[run[i] as number]?.sharpness ?? 0) + (rows[k]?.sharpness ?? 0)) / 2
      return { from: at(i), to: at(i + 1), out: [Math.sin(bearing), 0, Math.cos(bearing)] as Vec3, sharpness }
    })
  })
}
