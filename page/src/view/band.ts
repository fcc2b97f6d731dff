// A band that is read, on the head itself: its line over the scalp, and the hair along it, straight out and as long as the cut
// leaves it. The line that joins the ends is the shape that the reading names.
import type { Cut, LineRead, Vec3 } from '../core/messages'
import type { Band } from '../state/store'
import { nearestRoot } from './pick'
import { polyline } from './lines'
import { add, along, apart, unit } from './vec'
import type { NamedPlace } from './drags'

export interface BandDrawn {
  readonly scalp: readonly Float32Array[] // pieces: x, y, z of both ends
  readonly hairs: readonly Float32Array[]
  readonly ends: readonly Float32Array[]
  readonly tips: readonly Vec3[]
  readonly normals: readonly Vec3[] // of the scalp, by point
}

const EACH = 0.006 // metres of scalp between two hairs that are drawn
const ABOUT = 0.007

// Where ears or face interrupt the line it is in parts.
function parts(line: LineRead): (readonly [number, number])[] {
  const steps = line.points.slice(1).map((p, i) => p[3] - (line.points[i]?.[3] ?? 0))
  const usual = [...steps].sort((a, b) => a - b)[steps.length >> 1] ?? 0
  const out: [number, number][] = []
  let first = 0
  steps.forEach((step, i) => {
    if (step <= 3 * usual) return
    out.push([first, i])
    first = i + 1
  })
  return [...out, [first, line.points.length - 1]]
}

export function bandOn(line: LineRead, cut: Cut): BandDrawn {
  const at = line.points.map(([x, y, z]): Vec3 => [x, y, z])
  const nearest = at.map((p): Vec3 => {
    const i = 3 * nearestRoot(cut.roots, p)
    return [cut.normals[i] ?? 0, cut.normals[i + 1] ?? 0, cut.normals[i + 2] ?? 0]
  })
  // Between roots, which lie apart, the mean of those about.
  const normals = at.map((p) => unit(nearest.reduce<Vec3>((sum, n, j) => (apart(at[j] as Vec3, p) < ABOUT ? add(sum, n) : sum), [0, 0, 0])))
  const tips = at.map((p, i) => along(p, normals[i] as Vec3, line.points[i]?.[4] ?? 0))
  const scalp: Float32Array[] = [], ends: Float32Array[] = [], hairs: Float32Array[] = []
  for (const [first, last] of parts(line)) {
    scalp.push(polyline(at.slice(first, last + 1)))
    ends.push(polyline(tips.slice(first, last + 1)))
    let way = -Infinity
    for (let i = first; i <= last; i++) {
      const now = line.points[i]?.[3] ?? 0
      if (now - way < EACH && i !== last) continue
      way = now
      hairs.push(polyline([at[i] as Vec3, tips[i] as Vec3]))
    }
  }
  return { scalp, hairs, ends, tips, normals }
}

// ---- drawing one ----

const ON = 0.008 // metres within which a landmark is meant
const LEAST = 0.01 // of a band

export function meant(p: Vec3, places: readonly NamedPlace[], free: boolean): Vec3 {
  const near = places.find((place) => apart(place.at, p) < ON)
  return near && !free ? near.at : p
}

export const bandFrom = (from: Vec3, to: Vec3): Band | null => (apart(from, to) < LEAST ? null : { kind: 'between', from, to })

// The landmark at an end of a band, or the nearest to it.
export function placeOf(p: Vec3, places: readonly NamedPlace[]): { readonly name: string; readonly there: boolean } | null {
  const near = places.reduce<NamedPlace | null>((best, place) => (!best || apart(place.at, p) < apart(best.at, p) ? place : best), null)
  return near && { name: near.name, there: apart(near.at, p) < 1e-4 }
}
