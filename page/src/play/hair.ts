// Hair at a moment of the cut. What was cut lies as it will in the end, what was not as it did before; only the panel's own
// hair moves: from where it lies out of the comb into the hand, to the line, and back down.
import type { Cut, Fall, Held, Panel } from '../core/messages'
import { between, ease, NODES } from '../view/shapes'
import { momentOf } from './moments'

export interface PlayedFrom {
  readonly cut: Cut
  readonly uncut: Fall
  readonly fall: Fall
  readonly held: Held // of all panels
}

const ROW = 3 * NODES

// Row i of held hair as it was before the blades met it: the same way, and on straight to its old length in the hand.
export function longHeld(out: Float32Array, of: Held, i: number, length: number): void {
  const row = ROW * i
  const at = of.at
  let taut = 0
  const ends: number[] = [0]
  for (let k = 1; k < NODES; k++) {
    const p = row + 3 * k
    taut += Math.hypot((at[p] ?? 0) - (at[p - 3] ?? 0), (at[p + 1] ?? 0) - (at[p - 2] ?? 0), (at[p + 2] ?? 0) - (at[p - 1] ?? 0))
    ends.push(taut)
  }
  const last = row + 3 * (NODES - 1)
  const piece = Math.max(1e-9, taut - (ends[NODES - 2] ?? 0))
  let k = 0
  for (let n = 0; n < NODES; n++) {
    const want = (length * n) / (NODES - 1)
    if (want >= taut) {
      const t = (want - taut) / piece
      for (let c = 0; c < 3; c++) out[row + 3 * n + c] = (at[last + c] ?? 0) + t * ((at[last + c] ?? 0) - (at[last - 3 + c] ?? 0))
      continue
    }
    while (k < NODES - 2 && (ends[k + 1] ?? 0) < want) k++
    const from = ends[k] ?? 0
    const t = (want - from) / Math.max(1e-9, (ends[k + 1] ?? 0) - from)
    for (let c = 0; c < 3; c++) {
      const a = at[row + 3 * k + c] ?? 0
      out[row + 3 * n + c] = a + t * ((at[row + 3 * k + 3 + c] ?? 0) - a)
    }
  }
}

// Straight out of the comb, at its own place.
function combed(out: Float32Array, cut: Cut, panel: Panel, i: number, length: number): void {
  const n = [cut.normals[3 * i] ?? 0, cut.normals[3 * i + 1] ?? 0, cut.normals[3 * i + 2] ?? 0]
  const d = panel.direction
  const lean = Math.max(0, 0.25 - (d[0] * (n[0] ?? 0) + d[1] * (n[1] ?? 0) + d[2] * (n[2] ?? 0)))
  const way = [0, 1, 2].map((c) => (d[c] ?? 0) + lean * (n[c] ?? 0))
  const size = Math.hypot(...way) || 1
  for (let k = 0; k < NODES; k++) for (let c = 0; c < 3; c++) out[ROW * i + 3 * k + c] = (cut.roots[3 * i + c] ?? 0) + (((way[c] ?? 0) / size) * length * k) / (NODES - 1)
}

export interface Player {
  readonly shape: Float32Array
  readonly lengths: Float32Array
  readonly hairs: Int32Array // of the panel that is played
  readonly clipped: { readonly from: Float32Array; readonly count: number; readonly lengths: Float32Array } // pieces that fall, as they were cut off
  turn(index: number): void // takes the head to where that panel begins
  at(share: number): void
  settled(): Float32Array // a shape in which the panel stands apart from the rest: for who goes along with whom
}

export function makePlayer({ cut, uncut, fall, held }: PlayedFrom): Player {
  const shape = new Float32Array(ROW * cut.hairs)
  const lengths = new Float32Array(cut.hairs)
  const comb = new Float32Array(ROW * cut.hairs), long = new Float32Array(ROW * cut.hairs)
  let hairs = new Int32Array(0)
  let clipped = { from: new Float32Array(0), count: 0, lengths: new Float32Array(0) }
  let panel: Panel | undefined
  const put = (from: Float32Array, i: number) => shape.set(from.subarray(ROW * i, ROW * i + ROW), ROW * i)
  const row = (to: Float32Array, from: Float32Array, at: number, i: number) => to.set(from.subarray(ROW * i, ROW * i + ROW), ROW * at)

  return {
    shape,
    lengths,
    get hairs() {
      return hairs
    },
    get clipped() {
      return clipped
    },
    turn(index) {
      panel = cut.panels[index]
      const own: number[] = []
      for (let i = 0; i < cut.hairs; i++) {
        const by = cut.setBy[i] ?? -1
        const done = by >= 0 ? by < index : false
        put(done ? fall.at : uncut.at, i)
        lengths[i] = (done ? cut.lengths[i] : cut.before[i]) ?? 0
        if (by === index && !Number.isNaN(held.at[ROW * i] ?? NaN)) own.push(i)
      }
      hairs = Int32Array.from(own)
      const factor = panel?.factor ?? 1
      clipped = { from: new Float32Array(ROW * own.length), count: own.length, lengths: new Float32Array(own.length) }
      own.forEach((i, n) => {
        const before = (cut.before[i] ?? 0) / factor, after = (cut.lengths[i] ?? 0) / factor
        longHeld(long, held, i, before)
        if (panel) combed(comb, cut, panel, i, before)
        // The piece from the line to the old end.
        const end = ROW * i + ROW - 3
        const tip = [long[end] ?? 0, long[end + 1] ?? 0, long[end + 2] ?? 0]
        const line = [held.at[end] ?? 0, held.at[end + 1] ?? 0, held.at[end + 2] ?? 0]
        clipped.lengths[n] = Math.max(0, before - after)
        for (let k = 0; k < NODES; k++) for (let c = 0; c < 3; c++) clipped.from[ROW * n + 3 * k + c] = (line[c] ?? 0) + ((tip[c] ?? 0) - (line[c] ?? 0)) * (k / (NODES - 1))
      })
    },
    settled() {
      const out = shape.slice()
      for (const i of hairs) row(out, long, i, i)
      return out
    },
    at(share) {
      const { phase, at } = momentOf(share)
      for (const i of hairs) {
        lengths[i] = ((phase === 'cut' && at > 0.15) || phase === 'dropped' ? cut.lengths[i] : cut.before[i]) ?? 0
        if (phase === 'parted') put(uncut.at, i)
        else if (phase === 'combed') between(shape, uncut.at, comb, i, ease(at))
        else if (phase === 'held') between(shape, comb, long, i, ease(at))
        else if (phase === 'cut') put(at > 0.15 ? held.at : long, i)
        else between(shape, held.at, fall.at, i, ease(at))
      }
    },
  }
}

// Pieces that were cut off, so long after: they fall, spread a little and are gone.
export const GONE = 0.9 // seconds
export function fallen(out: Float32Array, from: Float32Array, count: number, seconds: number): void {
  const drop = 0.5 * 2.2 * seconds * seconds // slower than in truth, so that one sees it
  for (let n = 0; n < count; n++) {
    const aside = (((n * 2654435761) >>> 8) % 1000) / 1000 - 0.5
    for (let k = 0; k < NODES; k++) {
      const p = ROW * n + 3 * k
      const turn = (k / (NODES - 1)) * seconds * 0.03
      out[p] = (from[p] ?? 0) + aside * 0.03 * seconds
      out[p + 1] = (from[p + 1] ?? 0) - drop - turn
      out[p + 2] = (from[p + 2] ?? 0) + aside * 0.02 * seconds
    }
  }
}
