import { describe, expect, it } from 'vitest'
import type { Cut, Panel } from '../src/core/messages'
import { fallen, longHeld } from '../src/play/hair'
import { advanced, middleOf, momentOf, PHASES, playingAt, turnOf, turns } from '../src/play/moments'
import { lengthOf, NODES } from '../src/view/shapes'

const panels = [
  [1, 1, 5],
  [1, 2, 0],
  [1, 3, 4],
  [2, 1, 7],
].map(([step, panel, cut]) => ({ step, panel, cut }) as Panel)
const cut = { panels } as unknown as Cut

describe('moments', () => {
  it('go through the five things a hand does', () => {
    expect([0, 0.2, 0.5, 0.6, 0.8, 1].map((share) => momentOf(share).phase)).toEqual(['parted', 'combed', 'held', 'cut', 'dropped', 'dropped'])
    expect(momentOf(1).at).toBe(1)
    PHASES.forEach((phase, i) => expect(momentOf(middleOf(i))).toEqual({ phase, at: expect.closeTo(0.5, 9) }))
  })
  it('pass over panels that cut nothing', () => expect(turns(cut)).toEqual([0, 2, 3]))
  it('find the turn of a moment, or the next there is', () => {
    const order = turns(cut)
    expect(turnOf(cut, order, { step: 0, panel: 2, share: 0 })).toBe(1)
    expect(turnOf(cut, order, { step: 0, panel: 1, share: 0 })).toBe(1)
    expect(turnOf(cut, order, { step: 9, panel: 0, share: 0 })).toBe(2)
    expect(playingAt(cut, order, 2, 0.3)).toEqual({ step: 1, panel: 0, share: 0.3 })
    expect(playingAt({ panels: [] } as unknown as Cut, [], 0, 0)).toBeNull()
  })
  it('go on, stop at the end, or begin again', () => {
    expect(advanced(0, 0.75, 0.5, 3, false)).toEqual({ turn: 1, share: 0.25, ended: false })
    expect(advanced(2, 0.75, 0.5, 3, false)).toEqual({ turn: 2, share: 1, ended: true })
    expect(advanced(2, 0.75, 0.5, 3, true)).toEqual({ turn: 0, share: 0, ended: false })
  })
})

describe('hair in the hand', () => {
  it('goes on straight past the line to its old length', () => {
    const at = new Float32Array(3 * NODES)
    for (let k = 0; k < NODES; k++) at.set([0, 0.01 * k, 0], 3 * k)
    const out = new Float32Array(3 * NODES)
    longHeld(out, { id: 1, panel: -1, nodes: NODES, at }, 0, 0.4)
    expect(lengthOf(out, 0)).toBeCloseTo(0.4, 5)
    expect(out[3 * (NODES - 1) + 1]).toBeCloseTo(0.4, 5)
    longHeld(out, { id: 1, panel: -1, nodes: NODES, at }, 0, 0.1)
    expect(lengthOf(out, 0)).toBeCloseTo(0.1, 5)
  })
  it('falls where it was cut off', () => {
    const from = new Float32Array(3 * NODES).fill(0.1)
    const out = new Float32Array(3 * NODES)
    fallen(out, from, 1, 0)
    out.forEach((x) => expect(x).toBeCloseTo(0.1))
    fallen(out, from, 1, 0.5)
    expect(out[1]).toBeLessThan(0)
  })
})
