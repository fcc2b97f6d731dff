import { describe, expect, it } from 'vitest'
import { besideOf } from '../src/walk/place'

const screen = { width: 1000, height: 800 }
const note = { width: 300, height: 150 }
const inside = ({ left, top }: { left: number; top: number }) => left >= 0 && top >= 0 && left + note.width <= screen.width && top + note.height <= screen.height
const apart = (at: { left: number; top: number }, target: { left: number; top: number; width: number; height: number }) =>
  at.left >= target.left + target.width || at.left + note.width <= target.left || at.top >= target.top + target.height || at.top + note.height <= target.top

describe('the note of the walk', () => {
  it('is always on the screen, and beside its target where there is room', () => {
    for (let left = -50; left < 1000; left += 70)
      for (let top = -50; top < 800; top += 70)
        for (const [width, height] of [[30, 30], [400, 40], [40, 700]] as const) {
          const at = besideOf({ left, top, width, height }, note, screen)
          expect(inside(at)).toBe(true)
          expect(apart(at, { left, top, width, height })).toBe(true)
        }
  })
  it('stays on the screen where the target fills it', () => {
    expect(inside(besideOf({ left: 0, top: 0, width: 1000, height: 800 }, note, screen))).toBe(true)
  })
})
