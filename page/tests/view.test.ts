import { describe, expect, it } from 'vitest'
import type { Cut, Panel, Vec3 } from '../src/core/messages'
import { approach, axes, bounded, distanceFor, distanceToSee, FIRST, fromSide, left, near, project, rayThrough, turned, zoomed } from '../src/view/camera'
import { arc, held, placeAt, spoke, spokes, stepped, valueUnder, type Course } from '../src/view/drags'
import { before, edgeOf, guideHair, lineAt, measuredPanel, number } from '../src/view/handles'
import { columns, spread } from '../src/view/labels'
import { alike, nearest } from '../src/view/near'
import { nextLevel } from '../src/view/pace'
import { leavesUnder, sidesOf } from '../src/view/parts'
import { marks, scaleFor, stretched } from '../src/view/scale'
import { between, lengthOf, NODES, pack, reachOf, refit } from '../src/view/shapes'
import { figureOf, inMetres, inUnit, keptLength } from '../src/plan/number'
import { lengthText } from '../src/readings/figure'
import { lengthGrain, rounded } from '../src/view/grain'
import { dot } from '../src/view/vec'
import { facing, smoothed } from '../src/core/faces'
import { hairInto, HAIR_MOST } from '../src/view/air'
import { jitter } from '../src/view/stage'
import type { Plan } from '../src/state/plan'

const frame = { wide: 800, high: 600 }

describe('the eye', () => {
  it('finds back along a ray to what it saw', () => {
    const eye = { ...FIRST, yaw: 2.1, pitch: 0.4 }
    for (const p of [[0.05, 0.08, -0.03], [-0.1, -0.2, 0.1]] as const) {
      const at = project(eye, frame, p)
      const ray = rayThrough(eye, frame, at.x, at.y)
      const way: Vec3 = [p[0] - ray.from[0], p[1] - ray.from[1], p[2] - ray.from[2]]
      expect(dot(way, ray.way) / Math.hypot(...way)).toBeCloseTo(1, 9)
    }
  })
  it('sees the client’s left on the right hand side from the front, and front down from above', () => {
    expect(project(fromSide(FIRST, 'front', 1), frame, [0.05, 0, 0]).x).toBeGreaterThan(frame.wide / 2)
    expect(project(fromSide(FIRST, 'back', 1), frame, [0.05, 0, 0]).x).toBeLessThan(frame.wide / 2)
    expect(project(fromSide(FIRST, 'above', 1), frame, [0, 0, 0.1]).y).toBeGreaterThan(frame.high / 2)
  })
  it('turns the shorter way round to a side', () => {
    expect(fromSide({ ...FIRST, yaw: 3.5 }, 'back', 1).yaw).toBeCloseTo(Math.PI)
    expect(fromSide({ ...FIRST, yaw: 6.2 }, 'front', 1).yaw).toBeCloseTo(2 * Math.PI)
  })
  it('never loses the head', () => {
    let eye = FIRST
    for (let i = 0; i < 50; i++) eye = bounded({ ...zoomed(turned(eye, 1, 1), 3), target: [9, -9, 9] })
    const at = project(eye, frame, [0, 0, 0])
    expect(at.depth).toBeGreaterThan(0)
    expect(at.x > 0 && at.x < frame.wide && at.y > 0 && at.y < frame.high).toBe(true)
    expect(axes(eye).up[1]).toBeGreaterThanOrEqual(0)
  })
  it('comes to rest however long the steps are', () => {
    expect(left(0.07, 0.07)).toBeCloseTo(0.5)
    const goal = turned(FIRST, 1, 0.2)
    const once = approach(FIRST, goal, 0.2, 0.07)
    const twice = approach(approach(FIRST, goal, 0.1, 0.07), goal, 0.1, 0.07)
    expect(once.yaw).toBeCloseTo(twice.yaw, 12)
    expect(once.distance).toBeCloseTo(twice.distance, 12)
    expect(near(approach(FIRST, goal, 3, 0.07), goal)).toBe(true)
  })
  it('steps back for hair that stands out, and never nearer than for the head', () => {
    expect(distanceToSee(1.2, [0, 0.1, 0])).toBeCloseTo(distanceFor(1.2))
    const far = distanceToSee(1.2, [0, 0.5, 0])
    const at = project({ ...FIRST, yaw: 0, pitch: 0, distance: far }, { wide: 720, high: 600 }, [0, 0.5, FIRST.target[2]])
    expect(at.y).toBeGreaterThan(0)
    expect(at.y).toBeLessThan(60)
  })
})

describe('dragging', () => {
  const eye = { ...FIRST, yaw: Math.PI / 2, pitch: 0 }
  const course = (grain = { coarse: 5, fine: 1 }): Course => ({ at: (v) => spoke([0, -1, 0], [0, 0, -1], (v * Math.PI) / 180).map((c) => c * 0.07) as unknown as Vec3, low: 0, high: 180, grain })
  it('tells the angle under the hand', () => {
    for (const angle of [3, 45, 90, 133, 178]) {
      const at = project(eye, frame, course().at(angle))
      expect(valueUnder(course(), eye, frame, at.x, at.y)).toBeCloseTo(angle, 2)
    }
  })
  it('still tells it along the ray where the hand is off the curve', () => {
    const middle = project(eye, frame, [0, 0, 0]), at = project(eye, frame, course().at(60))
    expect(valueUnder(course(), eye, frame, middle.x + 2 * (at.x - middle.x), middle.y + 2 * (at.y - middle.y))).toBeCloseTo(60, 0)
  })
  it('says it as a hand would', () => {
    expect(held(43.7, course(), false)).toBe(45)
    expect(held(43.7, course(), true)).toBe(44)
    expect(held(-20, course(), false)).toBe(0)
    expect(stepped(45, 1, course(), false)).toBe(50)
    expect(stepped(44, 1, course(), false)).toBe(45)
    expect(stepped(44, -1, course(), true)).toBe(43)
    expect(stepped(180, 1, course(), false)).toBe(180)
  })
  it('rounds lengths to half a centimetre or a quarter of an inch', () => {
    expect(rounded(3.3, lengthGrain('cm'), false)).toBe(3.5)
    expect(rounded(3.3, lengthGrain('cm'), true)).toBe(3.3)
    expect(rounded(1.3, lengthGrain('in'), false)).toBe(1.25)
    expect(rounded(1.4, lengthGrain('in'), true)).toBe(1.375)
  })
  it('counts an elevation as the core does', () => {
    const n: Vec3 = [0, 0, -1]
    const d = spoke([0, -1, 0], n, Math.PI / 4)
    const { zero, out } = spokes(d, n, Math.PI / 4, false)
    expect(zero[1]).toBeCloseTo(-1)
    expect(out).toEqual(n)
    const again = spoke(zero, out, Math.PI / 4)
    again.forEach((c, i) => expect(c).toBeCloseTo(d[i] ?? 0))
    expect(spokes([0, 0, -1], [0, 0.3, -0.95], Math.PI / 2, true)).toEqual({ zero: [0, -1, 0], out: [0, 0, -1] })
    expect(arc([0, 0, 0], zero, out, 0, Math.PI / 2, 1, 2)).toHaveLength(3)
  })
  it('names the place under the hand', () => {
    const marks = [
      { name: 'crown', at: [0, 0.1, -0.05] as Vec3 },
      { name: 'occipital bone', at: [0, 0, -0.1] as Vec3 },
      { name: 'apex', at: [0, 0.12, 0.03] as Vec3 },
    ]
    expect(placeAt([0.003, 0.1, -0.05], 'apex', marks, false)).toBe('crown')
    expect(placeAt([0, 0.05, -0.075], 'crown', marks, false)).toEqual({ from: 'crown', to: 'occipital bone', at: 0.5 })
    expect(placeAt([0, 0.05, -0.075], { from: 'occipital bone', to: 'crown', at: 0.1 }, marks, false)).toEqual({ from: 'occipital bone', to: 'crown', at: 0.5 })
    expect(placeAt([0, 0.074, -0.063], { from: 'crown', to: 'occipital bone', at: 0.5 }, marks, true)).toEqual({ from: 'crown', to: 'occipital bone', at: 0.25 })
  })
  it('reads shares and lengths as plans write them', () => {
    expect([number('half', 9), number('own', 9), number('whole', 9), number('4 1/2', 9), number('-1/4', 9), number(3, 9), number(undefined, 9)]).toEqual([0.5, 0, 1, 4.5, -0.25, 3, 9])
  })
  it('names the end of a line', () => {
    expect(edgeOf([0.1, 0.2, 0.9])).toBe('front')
    expect(edgeOf([-0.9, 0.2, 0.1])).toBe('right')
    expect(edgeOf([0, -1, 0.3])).toBe('bottom')
  })
  const panel = (part: Partial<Panel>): Panel => ({ step: 1, panel: 1, section: 0, whole: 1, line: new Float64Array([-0.02, 0.1, 0, 0.12, 0.02, 0.1]), ...part }) as Panel
  it('follows a finger line between its points', () => {
    expect(lineAt(panel({}), 0)).toBeCloseTo(0.12)
    expect(lineAt(panel({}), -0.01)).toBeCloseTo(0.11)
    expect(lineAt(panel({}), 0.03)).toBeCloseTo(0.09)
  })
  it('carries toward the panels before, nearest first, each once', () => {
    const at = (z: number): Vec3 => [0, 0, z]
    const panels = [panel({ whole: 1, anchor: at(0) }), panel({ whole: 2, bite: 1, anchor: at(0.05) }), panel({ whole: 2, bite: 2, anchor: at(0.01) }), panel({ whole: 3, anchor: at(0) }), panel({ whole: 1, section: 1, anchor: at(0) })]
    expect(before({ panels } as unknown as Cut, panels[3] as Panel)).toEqual([panels[2], panels[0]]) // of the bites the nearest
  })
  it('finds the panel that a measured length was cut to, and the end of its hair', () => {
    const plan = { steps: [{ guide: { kind: 'travelling', length: 3 } }, { guide: { step: 'back' } }] } as unknown as Plan
    const panels = [panel({ guide: -1, place: [0, 0, 0], direction: [0, 0, 1] }), panel({ guide: 0 }), panel({ guide: 1 }), panel({ step: 2, guide: 2 })]
    const cut = { panels } as unknown as Cut
    expect(measuredPanel(plan, cut, panels[2] as Panel)).toBe(panels[0])
    expect(measuredPanel(plan, cut, panels[3] as Panel)).toBeNull() // that length is another step's
    expect(guideHair(panels[0] as Panel)[1][2]).toBeCloseTo(0.12)
  })
})

describe('names beside the head', () => {
  it('stay where they are wanted where there is room', () => expect(spread([20, 60, 100], [20, 20, 20], 0, 200)).toEqual([20, 60, 100]))
  it('never overlap, keep their order and stay inside', () => {
    const out = spread([10, 12, 14, 16, 190, 195], Array(6).fill(20), 0, 200)
    out.forEach((y, i) => {
      if (i) expect(y - (out[i - 1] ?? 0)).toBeGreaterThanOrEqual(20 - 1e-9)
      expect(y).toBeGreaterThanOrEqual(10 - 1e-9)
      expect(y).toBeLessThanOrEqual(190 + 1e-9)
    })
  })
  it('go to the nearer side, and over where one is full', () => {
    const all = Array.from({ length: 6 }, (_, i) => ({ name: String(i), x: 10 + i, y: 50, high: 20 }))
    const placed = columns(all, 100, 0, 80)
    expect(placed.filter((p) => p.side === 'left')).toHaveLength(4)
    expect(placed.filter((p) => p.side === 'right').map((p) => p.of.name).sort()).toEqual(['4', '5'])
  })
})

describe('the scale', () => {
  it('begins and ends at round numbers', () => {
    const scale = scaleFor([0.031, 0.174], 'cm')
    expect([scale.low, scale.high, scale.step].map((m) => Math.round(m * 1e4) / 100)).toEqual([0, 20, 5])
    expect(marks(scale).map((m) => figureOf(inUnit(m, 'cm'), 'length', 'cm'))).toEqual(['0', '5', '10', '15', '20'])
    const inches = scaleFor([0.031, 0.05], 'in')
    expect(marks(inches).map((m) => figureOf(inUnit(m, 'in'), 'length', 'in'))).toEqual(['1', '1 1/4', '1 1/2', '1 3/4', '2'])
  })
  it('does not jump while a hand drags, and grows where it must', () => {
    const was = scaleFor([0.03, 0.174], 'cm')
    expect(stretched(was, [0.06, 0.1], 'cm')).toBe(was)
    const longer = stretched(was, [0.06, 0.22], 'cm')
    expect(longer.low).toBe(was.low)
    expect(longer.high).toBeGreaterThanOrEqual(0.22)
  })
  it('has one where there is one length, or none', () => {
    const one = scaleFor([0.1, 0.1], 'cm')
    expect(one.high).toBeGreaterThan(one.low)
    expect(scaleFor([], 'in').high).toBeCloseTo(inMetres(10, 'in'))
  })
})

describe('numbers', () => {
  it('are said to the eighth of an inch', () => {
    expect([lengthText(0.0254 * 4.376, 'in'), lengthText(0.12345, 'cm'), figureOf(0, 'length', 'in')]).toEqual(['4 3/8 in', '12.3 cm', '0'])
    expect([keptLength(4.5, 'in'), keptLength(4, 'in'), keptLength(4.55, 'cm'), keptLength(-0.5, 'in')]).toEqual(['4 1/2', 4, 4.55, -0.5])
  })
})

describe('shapes', () => {
  const row = (f: (k: number) => Vec3): Float32Array => new Float32Array(Array.from({ length: NODES }, (_, k) => f(k)).flat())
  const up = row((k) => [0, k * 0.01, 0]), aside = row((k) => [k * 0.01, 0, 0])
  it('are cut off or grown on at another length', () => {
    const out = up.slice()
    refit(out, up, 0, 0.075)
    expect(lengthOf(out, 0)).toBeCloseTo(0.075, 5)
    expect(out[3 * (NODES - 1) + 1]).toBeCloseTo(0.075, 5)
    refit(out, up, 0, 0.3)
    expect(lengthOf(out, 0)).toBeCloseTo(0.3, 5)
  })
  it('keep their length on the way from one to another', () => {
    const out = up.slice()
    between(out, up, aside, 0, 0.5)
    expect(lengthOf(out, 0)).toBeCloseTo(0.15, 5)
    between(out, up, aside, 0, 1)
    out.forEach((x, i) => expect(x).toBeCloseTo(aside[i] ?? 0, 6))
  })
  it('come out of the texture as they went in', () => {
    const at = row((k) => [0.3 * Math.sin(k / 9), 0.2 - k * 0.02, 0.1])
    const packed = new Int16Array(4 * 32)
    const reach = reachOf(at)
    pack(packed, at, 1, reach)
    for (let k = 0; k < NODES; k++) for (let c = 0; c < 3; c++) expect(((packed[8 * k + c] ?? 0) * reach) / 32767).toBeCloseTo(at[3 * k + c] ?? 0, 4)
    expect(((packed[8 * 5 + 4] ?? 0) * reach) / 32767).toBeCloseTo(0.3 * Math.sin(5.5 / 9), 4)
    expect(((packed[4] ?? 0) * reach) / 32767).toBeCloseTo(0.3 * Math.sin(0.5 / 9), 3)
  })
})

describe('neighbours', () => {
  const roots = new Float32Array([0, 0, 0, 0.002, 0, 0, 0.003, 0, 0, 0.5, 0, 0])
  const near = nearest(roots, new Int16Array([0, 0, 1, 0]))
  it('are of the same section, and near', () => {
    expect([...near.subarray(0, 2)]).toEqual([1, -1])
    expect(near[4 * 2]).toBe(-1)
  })
  it('do not mix hair that goes another way', () => {
    const at = new Float32Array(3 * NODES * 4)
    for (let k = 0; k < NODES; k++) {
      at.set([0, k * 0.01, 0], 3 * k)
      at.set([0.002, k * 0.01, 0], 3 * (NODES + k))
    }
    const out = new Float32Array(16)
    alike(out, near, at)
    expect(out[0]).toBe(1)
    for (let k = 0; k < NODES; k++) at.set([0.002 + k * 0.01, 0, 0], 3 * (NODES + k))
    alike(out, near, at)
    expect(out[0]).toBe(0)
  })
})

describe('light and pace', () => {
  it('lays hair down in space without losing any', () => {
    const size = [12, 12, 12] as const
    const field = { low: [0, 0, 0] as Vec3, cell: 0.01, size: size as unknown as Vec3, values: new Float32Array(12 ** 3) }
    const at = new Float32Array(3 * NODES)
    for (let k = 0; k < NODES; k++) at.set([0.05, 0.02 + k * 0.004, 0.05], 3 * k)
    const out = new Uint8Array(2 * 12 ** 3)
    hairInto(out, field, at, 1, 2000)
    let sum = 0
    for (let i = 0; i < out.length; i += 2) sum += out[i] ?? 0
    const metres = ((sum / 255) * HAIR_MOST * 0.01 ** 3) / 75e-6 / 2000
    expect(metres).toBeCloseTo(0.06, 2)
  })
  it('smooths without moving the whole', () => {
    expect([...smoothed(new Float32Array([1, 1, 1]), new Uint32Array([0, 1, 2]))]).toEqual([1, 1, 1])
    expect(smoothed(new Float32Array([1, 0, 0]), new Uint32Array([0, 1, 2]))[0]).toBeCloseTo(0.5)
  })
  it('finds which way triangles face', () => {
    const at = new Float32Array([0, 0, 0, 1, 0, 0, 0, 1, 0])
    expect([...facing(at, new Uint32Array([0, 1, 2]))]).toEqual([0, 0, 1, 0, 0, 1, 0, 0, 1])
  })
  it('moves by less than half a pixel, evenly to both sides', () => {
    const all = Array.from({ length: 64 }, (_, i) => jitter(i + 1))
    for (const axis of [0, 1] as const) {
      expect(Math.abs(all.reduce((sum, p) => sum + p[axis], 0) / 64)).toBeLessThan(0.03)
      expect(Math.max(...all.map((p) => Math.abs(p[axis])))).toBeLessThanOrEqual(0.5)
    }
  })
  it('does less where it was slow, more where it was quick', () => {
    expect([nextLevel(2, 400), nextLevel(0, 400), nextLevel(2, 50), nextLevel(2, 5), nextLevel(4, 5)]).toEqual([1, 0, 2, 3, 4])
  })
})

describe('parts of the scalp', () => {
  const plan = {
    format: 'lengthwise plan', version: 1, units: 'cm',
    sections: [
      { split: 'all', parting: { centre: 0 }, into: ['left', 'right'] },
      { split: 'left', parting: { level: 'crown' }, into: ['left top', 'left under'], mirror: true },
    ],
  } as unknown as Plan
  it('are found under what was divided', () => {
    expect(leavesUnder(plan, 'all')).toEqual(['left top', 'left under', 'right top', 'right under'])
    expect(sidesOf(plan, 0)).toEqual([[['left top', 'left under'], ['right top', 'right under']]])
    expect(sidesOf(plan, 1)).toEqual([[['left top'], ['left under']], [['right top'], ['right under']]])
  })
})
