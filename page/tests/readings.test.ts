import { describe, expect, it } from 'vitest'
import { landing } from '../src/plan/drag'
import { withEdits } from '../src/plan/edit'
import { createKeys } from '../src/plan/keys'
import { belongs } from '../src/plan/place'
import { wordsAt } from '../src/plan/sections'
import { oncePerPair } from '../src/readings/alike'
import { bandPoints, linePoints, weightSeen } from '../src/readings/drawing'
import { lengthText, telling } from '../src/readings/figure'
import { rows } from '../src/readings/pairs'
import { cividis } from '../src/readings/scale'
import type { AroundFallen, LineRead } from '../src/core/messages'
import type { Part, Plan } from '../src/state/plan'

const plan: Plan = { format: 'lengthwise plan', version: 1, units: 'cm', sections: [{ split: 'all', into: ['left', 'right'] }], steps: [{ name: 'nape', section: 'left' }, { section: 'right' }] }

describe('a length as it is read', () => {
  it('has its unit, and a sign where it is a gain', () => {
    expect(lengthText(0.123, 'cm')).toBe('12.3 cm')
    expect(lengthText(0.0254 * 4.375, 'in')).toBe('4 3/8 in')
    expect(lengthText(0.027, 'cm', true)).toBe('+2.7 cm')
    expect(lengthText(-0.027, 'cm', true)).toBe('−2.7 cm')
    expect(lengthText(-0.00001, 'cm', true)).toBe('0.0 cm')
    expect(lengthText(null, 'cm')).toBe('–')
  })
  it('differs from another by what a hand sees', () => {
    expect(telling(0.02)).toBe(0.004)
    expect(telling(0.2)).toBeCloseTo(0.012)
  })
})

describe('readings', () => {
  it('put left beside right', () => {
    const all = ['crown', 'ear top left', 'ear top right'].map((name, i) => ({ name, i }))
    expect(rows(all)).toEqual([
      { name: 'crown', one: all[0], left: null, right: null },
      { name: 'ear top', one: null, left: all[1], right: all[2] },
    ])
  })
  it('tell what both sides share once', () => {
    const list = [{ name: 'left side, up', n: 1 }, { name: 'right side, up', n: 1 }, { name: 'left temple', n: 1 }, { name: 'right temple', n: 2 }]
    expect(oncePerPair(list, (a, b) => a.n === b.n).map(({ of, both }) => [of.name, both])).toEqual([['left side, up', true], ['left temple', false], ['right temple', false]])
  })
  it('are drawn through the three lengths of a band', () => {
    const points = bandPoints({ name: '', shape: 'square', from: 0.1, centre: 0.06, to: 0.1, gain: 0.04 }, 100)
    const far = (i: number) => Math.hypot((points?.hair[i]?.[0] ?? 0) - (points?.head[i]?.[0] ?? 0), (points?.hair[i]?.[1] ?? 0) - (points?.head[i]?.[1] ?? 0))
    expect([far(0), far(12), far(24)].map((d) => +d.toFixed(6))).toEqual([10, 6, 10])
    expect(bandPoints({ name: '', shape: '', from: null, centre: 1, to: 1, gain: null }, 1)).toBeNull()
  })
  it('are drawn along a line of one’s own', () => {
    const line = { way: 0.1, points: [[0, 0, 0, 0, 0.05], [0, 0, 0, 0.1, 0.1]] } as unknown as LineRead
    expect(linePoints(line, 300, 80)).toEqual({ longest: 0.1, points: [[0, 40], [300, 0]] })
  })
  it('show the weight line of the side that is looked at', () => {
    const at = (bearing: number): AroundFallen => ({ bearing, hairs: 1, perimeter: 0, perimeter_far: 0.1, over: '', weight: 0.02, weight_far: 0.1, piled: 0, sharpness: 0.5 })
    expect(weightSeen([at(Math.PI / 2), at(-Math.PI / 2)], 'left')).toHaveLength(1)
    expect(weightSeen([at(Math.PI), at(0)], 'back')).toHaveLength(1)
  })
  it('colour lengths from dark blue to yellow', () => {
    expect(cividis(0)).toBe('rgb(0, 34, 78)')
    expect(cividis(1)).toBe('rgb(254, 232, 56)')
    expect(cividis(-3)).toBe(cividis(0))
  })
})

describe('a list that is dragged', () => {
  const middles = [10, 30, 50, 70]
  it('lands where the pointer is', () => {
    expect(landing(0, 5, middles)).toBe(0)
    expect(landing(0, 35, middles)).toBe(1)
    expect(landing(0, 99, middles)).toBe(3)
    expect(landing(3, 5, middles)).toBe(0)
    expect(landing(2, 52, middles)).toBe(2)
  })
  it('keeps its elements through changes, moves and additions', () => {
    const keys = createKeys('k')
    const [a, b]: Part[] = [{ name: 'a' }, { name: 'b' }]
    const first = keys.of([a as Part, b as Part])
    const changed = { name: 'a2' }
    expect(keys.of([changed, b as Part])).toEqual(first)
    expect(keys.of([b as Part, changed])).toEqual([first[1], first[0]])
    const added = keys.of([{ name: 'new' }, b as Part, changed])
    expect(added.slice(1)).toEqual([first[1], first[0]])
    expect(new Set(added).size).toBe(3)
  })
})

describe('a fault', () => {
  const fault = (place: string) => belongs({ id: 1, text: '', place, message: '', remedy: '', line: 0, column: 0 }, plan)
  it('belongs to the step, parting or part of the plan that it names', () => {
    expect(fault('steps[1].hold.elevation')).toEqual({ kind: 'step', at: 1 })
    expect(fault('nape')).toEqual({ kind: 'step', at: 0 })
    expect(fault('step 2')).toEqual({ kind: 'step', at: 1 })
    expect(fault('sections[0].split')).toEqual({ kind: 'section', at: 0 })
    expect(fault('right')).toEqual({ kind: 'section', at: 0 })
    expect(fault('hair.curl')).toEqual({ kind: 'plan', key: 'hair' })
  })
})

describe('a remedy', () => {
  it('is carried out as the core tells it', () => {
    expect(withEdits(plan, [{ path: ['hands', 'bites'], value: true }]).hands).toEqual({ bites: true })
    expect(withEdits(plan, [{ path: ['steps', 2], value: { section: 'right' } }]).steps).toHaveLength(3)
    const off: Plan = { ...plan, steps: [{ name: 'nape', off: true }] }
    expect(withEdits(off, [{ path: ['steps', 0, 'off'], value: null }]).steps).toEqual([{ name: 'nape' }])
  })
})

describe('sentences of partings', () => {
  it('count twice where a parting is mirrored', () => {
    const twice: Plan = { ...plan, sections: [{ mirror: true }, {}, { mirror: true }, {}] }
    expect([0, 1, 2, 3].map((at) => wordsAt(twice, at))).toEqual([0, 2, 3, 5])
  })
})
