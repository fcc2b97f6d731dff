// A line drawing of the head with the tape on it, from the head's own mesh: what a tape measures is shown where it lies on this
// head, not on some other. Pure: numbers in, paths out.

export type Seen = 'front' | 'left' | 'back'

export interface Drawing {
  readonly box: string // viewBox, in millimetres, y down
  readonly head: string // closed path
  readonly near: string // the tape on this side
  readonly far: string // the tape on the other side
  readonly ends: readonly (readonly [number, number])[]
}

interface Mesh {
  readonly points: Float32Array // rows of four by vertex, of which the first three are x, y, z in metres
  readonly corners: Uint32Array
}

const ROW = 0.003 // metres between the levels at which the outline is found, about
const SUMMIT = 0.0003 // metres below the top at which the highest is
const FOOT = -0.135 // metres: below it the drawing ends, in the neck
const EDGE = 0.012 // metres of paper round the head

// Across and toward the viewer, in metres; up is y.
function seen(side: Seen, x: number, y: number, z: number): readonly [across: number, up: number, toward: number] {
  if (side === 'front') return [x, y, z] // the client's left is on the viewer's right
  return side === 'back' ? [-x, y, -z] : [-z, y, x]
}

const mm = (metres: number): string => (metres * 1000).toFixed(1)

// The outline, row by row: where a level cuts the mesh outermost on either side. It holds for a head upright, which no level
// cuts into two parts side by side.
function outline({ points, corners }: Mesh, side: Seen): string {
  let top = -Infinity
  for (let i = 1; i < points.length; i += 4) top = Math.max(top, points[i] as number)
  const rows = Math.max(2, Math.round((top - SUMMIT - FOOT) / ROW) + 1)
  const step = (top - SUMMIT - FOOT) / (rows - 1)
  const left = new Float64Array(rows).fill(Infinity)
  const right = new Float64Array(rows).fill(-Infinity)
  const point = (corner: number) => seen(side, points[4 * corner] as number, points[4 * corner + 1] as number, points[4 * corner + 2] as number)
  for (let t = 0; t < corners.length; t += 3)
    for (let k = 0; k < 3; k++) {
      const a = point(corners[t + k] as number)
      const b = point(corners[t + ((k + 1) % 3)] as number)
      if (a[1] > b[1]) continue // each edge once, from the triangle on its other side
      const first = Math.max(0, Math.ceil((a[1] - FOOT) / step))
      const last = Math.min(rows - 1, Math.floor((b[1] - FOOT) / step))
      for (let row = first; row <= last; row++) {
        const share = b[1] > a[1] ? (FOOT + row * step - a[1]) / (b[1] - a[1]) : 0
        const across = a[0] + share * (b[0] - a[0])
        left[row] = Math.min(left[row] as number, across)
        right[row] = Math.max(right[row] as number, across)
      }
    }
  const up: string[] = []
  const down: string[] = []
  for (let row = 0; row < rows; row++) {
    if (!Number.isFinite(left[row])) continue
    const y = mm(-(FOOT + row * step))
    up.push(`${mm(right[row] as number)} ${y}`)
    down.unshift(`${mm(left[row] as number)} ${y}`)
  }
  return `M${[...up, ...down].join('L')}`
}

// The tape in pieces on this side and on the other.
function pieces(tape: Float32Array, side: Seen): { near: string; far: string; ends: [number, number][] } {
  const path = { near: '', far: '' }
  let last: 'near' | 'far' | null = null
  const points = Array.from({ length: tape.length / 3 }, (_, i) => seen(side, tape[3 * i] as number, tape[3 * i + 1] as number, tape[3 * i + 2] as number))
  points.forEach(([across, up, toward], i) => {
    const here = toward >= -1e-3 ? 'near' : 'far'
    const text = `${mm(across)} ${mm(-up)}`
    if (last === here) path[here] += `L${text}`
    else {
      const before = points[i - 1]
      path[here] += `M${before ? `${mm(before[0])} ${mm(-before[1])}L` : ''}${text}`
    }
    last = here
  })
  const first = points[0]
  const end = points.at(-1)
  const closed = first && end && Math.hypot(first[0] - end[0], first[1] - end[1], first[2] - end[2]) < 1e-3
  return { ...path, ends: closed || !first || !end ? [] : [first, end].map(([across, up]): [number, number] => [Number(mm(across)), Number(mm(-up))]) }
}

// The side from which each measure shows best.
const SIDES: Readonly<Record<string, Seen>> = {
  ear_to_ear_over_top: 'front',
  ear_to_ear_forehead: 'front',
  ear_to_ear_hairline: 'front',
  head_breadth: 'front',
  temple_to_temple_back: 'back',
  nape_width: 'back',
}

export const sideOf = (measure: string): Seen => SIDES[measure] ?? 'left'

export function drawingOf(mesh: Mesh, tape: Float32Array, side: Seen): Drawing {
  let across = 0
  let top = 0
  for (let i = 0; i < mesh.points.length; i += 4) {
    const [a, up] = seen(side, mesh.points[i] as number, mesh.points[i + 1] as number, mesh.points[i + 2] as number)
    if (up < FOOT) continue
    across = Math.max(across, Math.abs(a))
    top = Math.max(top, up)
  }
  const [w, h] = [across + EDGE, top + EDGE]
  return {
    box: `${mm(-w)} ${mm(-h)} ${mm(2 * w)} ${mm(h - FOOT)}`,
    head: outline(mesh, side),
    ...pieces(tape, side),
  }
}
