// Small drawings of what the lengths read as: shapes in SVG, in metres, y upward turned to the screen's.
import { svg, type TemplateResult } from 'lit-html'
import type { AroundFallen, BandRead, LineRead, StripRead, Vec3 } from '../core/messages'

export type Point = readonly [number, number]

export const path = (points: readonly Point[], closed = false): string => (points.length === 0 ? '' : `M${points.map(([x, y]) => `${+x.toFixed(2)} ${+y.toFixed(2)}`).join('L')}${closed ? 'Z' : ''}`)

// The three lengths of a band on an arc of the head, 60 by 34: the head as an arc, the hair outside it.
export function bandPoints(band: BandRead, scale: number): { head: Point[]; hair: Point[] } | null {
  const { from, centre, to } = band
  if (from === null || centre === null || to === null) return null
  const head: Point[] = []
  const hair: Point[] = []
  const radius = 26
  for (let i = 0; i <= 24; i++) {
    const t = i / 12 - 1 // -1 … 1
    const angle = t * 0.95
    // A parabola through the three lengths.
    const length = centre + (t * (to - from)) / 2 + (t * t * (from + to - 2 * centre)) / 2
    const at = (r: number): Point => [48 + Math.sin(angle) * r, 54 - Math.cos(angle) * r]
    head.push(at(radius))
    hair.push(at(radius + length * scale))
  }
  return { head, hair }
}

export function bandDrawing(band: BandRead, longest: number): TemplateResult {
  const points = bandPoints(band, 24 / Math.max(longest, 1e-6))
  if (!points) return svg``
  const ends = [0, points.head.length - 1].map((i) => [points.head[i], points.hair[i]] as const)
  return svg`<path class="head" d=${path(points.head)} /><path class="hair" d=${path(points.hair)} />${ends.map(([a, b]) => (a && b ? svg`<path class="edge" d=${path([a, b])} />` : ''))}`
}

// Five hairs up the side of the head, held straight out from it.
export function stripDrawing(strip: StripRead, longest: number): TemplateResult {
  const { bottom, top } = strip
  if (bottom === null || top === null) return svg``
  const scale = 46 / Math.max(longest, 1e-6)
  const roots: Point[] = []
  const ends: Point[] = []
  for (let i = 0; i <= 6; i++) {
    const t = i / 6
    const angle = -0.35 + t * 1.3 // rises as the head turns over
    const root: Point = [10 + 16 * (1 - Math.cos(angle)) * -1 + 6, 50 - t * 40]
    const length = (bottom + t * (top - bottom)) * scale
    roots.push(root)
    ends.push([root[0] + Math.cos(Math.max(0, angle)) * length, root[1] - Math.sin(Math.max(0, angle)) * length])
  }
  return svg`<path class="head" d=${path(roots)} />${roots.map((root, i) => svg`<path class="edge" d=${path([root, ends[i] as Point])} />`)}<path class="hair" d=${path(ends)} />`
}

// Lengths along a line that was drawn: 300 wide, 96 tall.
export function linePoints(line: LineRead, wide: number, tall: number): { points: Point[]; longest: number } {
  const longest = Math.max(1e-3, ...line.points.map((p) => p[4]))
  const way = Math.max(line.way, 1e-6)
  return { longest, points: line.points.map((p) => [(p[3] / way) * wide, tall - (p[4] / longest) * tall] as const) }
}

// An outline as seen from a side: left looks along x, back along z.
export function seen(points: readonly Vec3[], from: 'left' | 'back'): Point[] {
  return points.map(([x, y, z]) => (from === 'left' ? [z * -1, -y] : [-x, -y]) as Point)
}

// Where the weight line lies as seen from a side: its points on the near half, from one end to the other.
export function weightSeen(around: readonly AroundFallen[], from: 'left' | 'back'): { at: Point; sharpness: number }[] {
  const points = around.flatMap((one) => {
    if (one.weight === null || one.weight_far === null) return []
    const x = Math.sin(one.bearing) * one.weight_far
    const z = Math.cos(one.bearing) * one.weight_far
    const near = from === 'left' ? x > 0 : z < 0
    return near ? [{ at: (from === 'left' ? [-z, -one.weight] : [-x, -one.weight]) as Point, sharpness: one.sharpness ?? 0 }] : []
  })
  return points.sort((a, b) => a.at[0] - b.at[0])
}
