import { describe, expect, it } from 'vitest'
import { drawingOf, sideOf } from '../src/measures/drawing'

// A ball of 100 mm, as a mesh of rings.
function ball(radius: number, rings = 40) {
  const at: number[] = []
  const corners: number[] = []
  for (let i = 0; i <= rings; i++)
    for (let k = 0; k < 2 * rings; k++) {
      const down = (Math.PI * i) / rings
      const round = (Math.PI * k) / rings
      at.push(radius * Math.sin(down) * Math.sin(round), radius * Math.cos(down), radius * Math.sin(down) * Math.cos(round), 0)
      const [a, b] = [i * 2 * rings + k, i * 2 * rings + ((k + 1) % (2 * rings))]
      if (i < rings) corners.push(a, a + 2 * rings, b, b, a + 2 * rings, b + 2 * rings)
    }
  return { points: Float32Array.from(at), corners: Uint32Array.from(corners) }
}

const points = (path: string) => path.split(/[ML]/).filter(Boolean).map((pair) => pair.split(' ').map(Number) as [number, number])

describe('the drawing of a measure', () => {
  const mesh = ball(0.1)
  const level = Float32Array.from(Array.from({ length: 61 }, (_, i) => [0.1 * Math.sin((i * Math.PI) / 30), 0, 0.1 * Math.cos((i * Math.PI) / 30)]).flat())

  it('outlines a ball by a circle', () => {
    for (const side of ['front', 'left', 'back'] as const) {
      const outline = points(drawingOf(mesh, level, side).head)
      expect(outline.length).toBeGreaterThan(100)
      for (const [x, y] of outline) expect(Math.abs(Math.hypot(x, y) - 100)).toBeLessThan(0.6) // what chords of the mesh cut off
    }
  })
  it('tells the tape on this side from that on the other', () => {
    const { near, far, ends } = drawingOf(mesh, level, 'front')
    expect(points(near).length + points(far).length).toBeGreaterThanOrEqual(61)
    expect(points(far).length).toBeGreaterThan(25)
    expect(ends).toEqual([]) // it is closed
  })
  it('ends an open tape where it ends, mirrored between front and back', () => {
    const open = Float32Array.from([0.1, 0, 0, 0.07, 0.07, 0, 0, 0.1, 0])
    expect(drawingOf(mesh, open, 'front').ends).toEqual([[100, 0], [0, -100]])
    expect(drawingOf(mesh, open, 'back').ends[0]?.[0]).toBe(-100)
  })
  it('shows each measure from a side on which it lies', () => {
    expect(sideOf('nape_width')).toBe('back')
    expect(sideOf('circumference')).toBe('left')
  })
})
