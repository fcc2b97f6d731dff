import { describe, expect, it } from 'vitest'
import { eighths, kept, numberOf, readNumber, stepped } from '../src/plan/number'
import type { NumberShape } from '../src/plan/table'

const length: NumberShape = { kind: 'number', unit: 'length', low: 0.1, high: 40, fraction: true }
const angle: NumberShape = { kind: 'number', unit: 'degrees', low: 0, high: 180 }
const share: NumberShape = { kind: 'number', low: 0, high: 1, fraction: true }
const value = (typed: string, shape: NumberShape, units: 'cm' | 'in' = 'cm') => {
  const read = readNumber(typed, shape, units)
  return 'fault' in read ? read.fault : read.value
}

describe('a number as it is typed', () => {
  it('is read with a point, a comma, or a fraction', () => {
    expect(value('11.5', length)).toBe(11.5)
    expect(value('11,5', length)).toBe(11.5)
    expect(value('4 3/8', length, 'in')).toBe(4.375)
    expect(value('3/8', length, 'in')).toBe(0.375)
    expect(value('4⅜', length, 'in')).toBe(4.375)
    expect(value(' .5 ', length)).toBe(0.5)
  })
  it('may carry a unit, also the other one', () => {
    expect(value('11 cm', length)).toBe(11)
    expect(value('4 in', length)).toBe(10.16)
    expect(value('4 3/8"', length, 'in')).toBe(4.375)
    expect(value('120 mm', length)).toBe(12)
    expect(value('45°', angle)).toBe(45)
    expect(value('45 degrees', angle)).toBe(45)
    expect(value('30 %', share)).toBe(0.3)
  })
  it('is refused with its reason', () => {
    expect(value('', angle)).toBe('empty')
    expect(value('abc', angle)).toBe('no number')
    expect(value('4 3/0', length)).toBe('no number')
    expect(value('1.5 3/8', length)).toBe('no number')
    expect(value('1 2', length)).toBe('no number')
    expect(value('45 cm', angle)).toBe('unit')
    expect(value('-1', angle)).toBe('low')
    expect(value('181', angle)).toBe('high')
    expect(value('16', length, 'in')).toBe('high') // 40 cm are 15 3/4 in
    expect(value('1.5', { kind: 'whole', low: 1, high: 9 })).toBe('whole')
  })
})

describe('a number of the plan', () => {
  it('is read from fractions and words', () => {
    expect(numberOf('4 1/2')).toBe(4.5)
    expect(numberOf('half')).toBe(0.5)
    expect(numberOf('own')).toBe(0)
    expect(numberOf(undefined)).toBeNaN()
  })
  it('is kept in eighths where inches are', () => {
    expect(kept(4.375, length, 'in')).toBe('4 3/8')
    expect(kept(4, length, 'in')).toBe(4)
    expect(kept(4.1, length, 'in')).toBe(4.1)
    expect(kept(4.375, length, 'cm')).toBe(4.375)
    expect(eighths(-0.5)).toBe('-1/2')
  })
  it('goes up and down over round numbers and stays in its range', () => {
    expect(stepped(45, 1, angle, 'cm')).toBe(50)
    expect(stepped(43, 1, angle, 'cm')).toBe(45)
    expect(stepped(43, -1, angle, 'cm')).toBe(40)
    expect(stepped(43, 1, angle, 'cm', true)).toBe(44)
    expect(stepped(178, 1, angle, 'cm')).toBe(180)
    expect(stepped(0, -1, angle, 'cm')).toBe(0)
    expect(stepped(1, -1, length, 'cm')).toBe(0.9)
    expect(stepped(4.375, 1, length, 'in')).toBe(4.5)
  })
})
