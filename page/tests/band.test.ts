import { describe, expect, it } from 'vitest'
import type { AroundFallen, Cut, LineRead, Vec3 } from '../src/core/messages'
import { bandFrom, bandOn, meant, placeOf } from '../src/view/band'
import { apart } from '../src/view/vec'
import { weightOn } from '../src/view/weight'

describe('a band on the head', () => {
  const normals = Float32Array.from({ length: 60 }, (_, i) => (i % 3 === 1 ? 1 : 0))
  const roots = Float32Array.from({ length: 60 }, (_, i) => (i % 3 === 0 ? (i / 3) * 0.005 : 0))
  const cut = { roots, normals } as unknown as Cut
  const points = Array.from({ length: 20 }, (_, i) => [i * 0.005, 0, 0, i * 0.005 + (i > 9 ? 0.05 : 0), 0.1 + i * 0.001] as const)
  it('has its hair straight out, as long as it is, and a gap where there is none', () => {
    const { scalp, ends, tips, hairs } = bandOn({ points } as unknown as LineRead, cut)
    tips.forEach((tip, i) => expect(tip[1]).toBeCloseTo(points[i]?.[4] ?? 0, 6))
    expect(scalp.map((pieces) => pieces.length / 6)).toEqual([9, 9])
    expect(ends.length).toBe(2)
    expect(hairs.length).toBeGreaterThan(8)
  })
  it('holds to a landmark that is near, unless it is to be free, and is none where it has no length', () => {
    const places = [{ name: 'crown', at: [0, 0.1, 0] as Vec3 }]
    expect(meant([0, 0.105, 0], places, false)).toBe(places[0]?.at)
    expect(meant([0, 0.105, 0], places, true)).toEqual([0, 0.105, 0])
    expect(placeOf([0, 0.1, 0], places)).toEqual({ name: 'crown', there: true })
    expect(placeOf([0, 0.12, 0], places)).toEqual({ name: 'crown', there: false })
    expect(bandFrom([0, 0, 0], [0, 0.001, 0])).toBeNull()
  })
})

describe('the weight line on the hair', () => {
  const row = (k: number, weight: number | null) => ({ bearing: (2 * Math.PI * k) / 72, weight, weight_far: weight === null ? null : 0.08, sharpness: 0.5 }) as unknown as AroundFallen
  const out = (p: Vec3) => Math.hypot(p[0], p[2] + 0.0045)
  it('lies outside the hair at its height, all the way round', () => {
    const at = Float32Array.from(Array.from({ length: 72 }, (_, k) => [0.1 * Math.sin((2 * Math.PI * k) / 72), -0.02, -0.0045 + 0.1 * Math.cos((2 * Math.PI * k) / 72)]).flat())
    const pieces = weightOn(Array.from({ length: 72 }, (_, k) => row(k, -0.02)), { at })
    expect(pieces).toHaveLength(72)
    for (const { from, to } of pieces) {
      expect(from[1]).toBeCloseTo(-0.02)
      expect(out(from)).toBeCloseTo(0.101)
      expect(apart(from, to)).toBeLessThan(0.01)
    }
  })
  it('ends where there is none or where it jumps, and leaves single bearings out', () => {
    const rows = Array.from({ length: 72 }, (_, k) => row(k, k < 10 ? -0.02 : k < 20 ? -0.06 : k === 40 ? -0.02 : null))
    expect(weightOn(rows, { at: new Float32Array(0) })).toHaveLength(18)
    expect(weightOn([], { at: new Float32Array(0) })).toEqual([])
  })
})
