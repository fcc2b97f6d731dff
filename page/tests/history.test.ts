import { describe, expect, it } from 'vitest'
import { begin, canRedo, canUndo, record, redone, settle, undone } from '../src/state/history'
import type { Plan } from '../src/state/plan'

const plan = (title: string): Plan => ({ format: 'lengthwise plan', version: 1, units: 'cm', title })
const now = (history: ReturnType<typeof begin>) => history.moments[history.at]?.plan.title

describe('the history of a plan', () => {
  it('goes back and forth without limit', () => {
    let history = begin(plan('0'), 'opened')
    for (let i = 1; i <= 5000; i++) history = record(history, plan(String(i)), 'edit')
    for (let i = 0; i < 5000; i++) history = undone(history)
    expect(now(history)).toBe('0')
    expect(canUndo(history)).toBe(false)
    expect(undone(history)).toBe(history)
    expect(now(redone(history))).toBe('1')
  })
  it('forgets what was undone once something else is done', () => {
    let history = record(record(begin(plan('a'), ''), plan('b'), ''), plan('c'), '')
    history = record(undone(history), plan('d'), '')
    expect(canRedo(history)).toBe(false)
    expect(now(undone(history))).toBe('b')
  })
  it('takes a stroke for one edit, until the hand lets go', () => {
    let history = begin(plan('a'), '')
    for (const title of ['b', 'c', 'd']) history = record(history, plan(title), 'drag', 'arc')
    expect(now(undone(history))).toBe('a')
    history = record(settle(history), plan('e'), 'drag', 'arc')
    expect(now(undone(history))).toBe('d')
  })
  it('never takes the first state for part of a stroke', () => {
    const history = record(record(undone(record(begin(plan('a'), ''), plan('b'), '', 's')), plan('c'), '', 's'), plan('d'), '', 's')
    expect(now(undone(history))).toBe('a')
  })
})
