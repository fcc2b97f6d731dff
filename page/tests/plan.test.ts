import { describe, expect, it } from 'vitest'
import bob from '../../examples/graduated-bob.json'
import { planText, valueAt, withValue, type Plan } from '../src/state/plan'

const plan = bob as unknown as Plan

describe('a plan', () => {
  it('is written so that it reads back the same', () => {
    expect(JSON.parse(planText(plan))).toEqual(bob)
  })
  it('keeps text with commas and colons as it is', () => {
    const odd = withValue(plan, ['note'], 'a: b, "c", d\\')
    expect(JSON.parse(planText(odd)).note).toBe('a: b, "c", d\\')
  })
  it('changes only what the path leads to', () => {
    const next = withValue(plan, ['steps', 0, 'hold', 'elevation'], 60)
    expect(valueAt(next, ['steps', 0, 'hold', 'elevation'])).toBe(60)
    expect(next.steps?.[1]).toBe(plan.steps?.[1])
    expect(plan.steps?.[0]).not.toBe(next.steps?.[0])
    expect(valueAt(plan, ['steps', 0, 'hold', 'elevation'])).toBe(45)
  })
  it('makes what is missing on the way, and takes values out', () => {
    const worn = withValue(plan, ['worn', 'product', 'stiffness'], 2)
    expect(valueAt(worn, ['worn', 'product', 'stiffness'])).toBe(2)
    expect(valueAt(withValue(worn, ['worn', 'product', 'stiffness'], undefined), ['worn', 'product'])).toEqual({})
    expect(withValue(plan, ['steps', 0], undefined).steps).toHaveLength(1)
  })
})
