import { describe, expect, it } from 'vitest'
import type { Cut, Fall } from '../src/core/messages'
import { newestOnly, pause } from '../src/core/newest'
import { fallen, lengthOf, NODES } from '../src/view/shapes'

describe('work of which only the newest counts', () => {
  it('begins with what is asked, leaves out what came between, and ends with the newest', async () => {
    const begun: number[] = [], ended: number[] = []
    const ask = newestOnly<number>(async (n, still) => {
      begun.push(n)
      for (let piece = 0; piece < 5; piece++) {
        await pause()
        if (!still()) return
      }
      ended.push(n)
    })
    const first = ask(1)
    void ask(2)
    void ask(3)
    await first
    expect(begun).toEqual([1, 3])
    expect(ended).toEqual([3])
    await ask(4)
    expect(ended).toEqual([3, 4])
  })
  it('goes on after work that failed', async () => {
    const done: number[] = []
    const ask = newestOnly<number>((n) => {
      if (n === 1) throw new Error('no')
      done.push(n)
    })
    await expect(ask(1)).rejects.toThrow('no')
    await ask(2)
    expect(done).toEqual([2])
  })
})

describe('hair that has not fallen yet at its new length', () => {
  it('lies as it lay, cut off or grown on, and only where its length is another', () => {
    const at = Float32Array.from({ length: 3 * NODES * 2 }, (_, i) => (i % 3 === 1 ? -0.01 * (Math.floor(i / 3) % NODES) : 0))
    const fall = { id: 1, nodes: NODES, at, lengths: new Float32Array([0.15, 0.15]) } as unknown as Fall
    const cut = { id: 2, hairs: 2, lengths: new Float32Array([0.06, 0.15]) } as unknown as Cut
    const out = fallen(new Float32Array(at.length), cut, fall)
    expect(lengthOf(out, 0)).toBeCloseTo(0.06, 5)
    expect([...out.subarray(3 * NODES)]).toEqual([...at.subarray(3 * NODES)])
    expect(lengthOf(at, 0)).toBeCloseTo(0.15, 5) // the fall itself is left as it is
  })
})
